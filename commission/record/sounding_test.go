package record

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"loopwitness/commission/journal"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

func switched(output string, on bool) Energised {
	return Energised{Output: output, On: on, By: SwitchedByController}
}

func stopped(after float64) Reading {
	return Reading{Step: "outputs/Sounder", Quantity: CutOffReading, Value: after, Unit: "s",
		AsTyped: fmt.Sprintf("%g s", after)}
}

// How long an output was on is known once it is off.
func TestHowLongItSounded(t *testing.T) {
	on, off := switched("Sounder", true), switched("Sounder", false)
	failed := on
	failed.Failed = "not connected"
	for name, tc := range map[string]struct {
		facts  []any
		lasted time.Duration
		over   bool
		since  time.Duration // of the last time that it was switched on; -1 for never
	}{
		"never":             {nil, 0, false, -1},
		"still on":          {[]any{time.Second, on, time.Minute}, 0, false, time.Second},
		"on and off":        {[]any{time.Second, on, time.Minute, off}, time.Minute, true, time.Second},
		"off only":          {[]any{off}, 0, false, -1},
		"off twice":         {[]any{on, time.Minute, off, time.Minute, off}, time.Minute, true, 0},
		"not to be stopped": {[]any{on, time.Minute, failed, time.Minute, off}, 2 * time.Minute, true, 0},
		"the last time": {[]any{on, time.Minute, off, time.Minute, on, time.Second, off}, time.Second, true,
			2 * time.Minute},
		"on again":     {[]any{on, time.Minute, off, on}, 0, false, time.Minute},
		"another":      {[]any{switched("Chime", true), time.Minute, switched("Chime", false)}, 0, false, -1},
		"over a break": {[]any{on, time.Minute, Resumed{}, time.Minute, off}, 2 * time.Minute, true, 0},
	} {
		r := recordOf(t, tc.facts...)
		lasted, over := r.Sounded("Sounder")
		assert.Equal(t, tc.lasted, lasted, name)
		assert.Equal(t, tc.over, over, name)
		if tc.since < 0 {
			assert.Zero(t, r.OnSince("Sounder"), name)
			continue
		}
		assert.Equal(t, at(tc.since), r.OnSince("Sounder"), name)
	}
}

// What an output was energised for after its trial, as for a reading under alarm load, is
// no part of the trial.
func TestHowLongItSoundedInItsTrial(t *testing.T) {
	on, off := switched("Sounder", true), switched("Sounder", false)
	works := Answer{Step: "outputs/Sounder", Result: Works}
	for name, tc := range map[string]struct {
		facts []any
		lasts time.Duration
	}{
		"not answered":      {[]any{on, 14 * time.Second, off}, 0},
		"answered":          {[]any{on, 14 * time.Second, off, works}, 14 * time.Second},
		"energised later":   {[]any{on, 14 * time.Second, off, works, time.Minute, on, 7 * time.Second, off}, 14 * time.Second},
		"energised earlier": {[]any{on, 7 * time.Second, off, time.Minute, on, 14 * time.Second, off, works}, 14 * time.Second},
		"on still":          {[]any{on, 14 * time.Second, works}, 0},
	} {
		assert.Equal(t, tc.lasts, recordOf(t, tc.facts...).Find("outputs/Sounder").On(), name)
	}
}

// Within a run its own clock counts, which nobody sets; over a break the calendar's, and no
// less than the runs'.
func TestASetClockChangesNoDuration(t *testing.T) {
	on, off := switched("Sounder", true), switched("Sounder", false)
	const minute = time.Minute
	for name, tc := range map[string]struct {
		runs       [2]int
		wall, mono [3]time.Duration // of switching on, of resuming, of switching off
		lasted     time.Duration
	}{
		"in a run, the clock set": {[2]int{1, 1}, [3]time.Duration{minute, 0, time.Hour}, [3]time.Duration{minute, 0, 2 * minute}, minute},
		"over a break":            {[2]int{1, 2}, [3]time.Duration{minute, 9 * minute, 10 * minute}, [3]time.Duration{minute, 0, minute}, 9 * minute},
		"over a break, set back":  {[2]int{1, 2}, [3]time.Duration{minute, -time.Hour, minute - time.Hour}, [3]time.Duration{minute, 0, minute}, minute},
	} {
		r := recordOf(t)
		add := func(i, run int, f Fact) {
			require.NoError(t, r.Take(journal.Entry{N: r.Entries() + 1, At: at(tc.wall[i]), Run: run, Elapsed: tc.mono[i],
				Kind: f.Kind(), Body: bodyOf(t, f)}), name)
		}
		add(0, 1, on)
		if tc.runs[1] == 2 {
			add(1, 2, Resumed{})
		}
		add(2, tc.runs[1], off)
		lasted, _ := r.Sounded("Sounder")
		assert.Equal(t, tc.lasted, lasted, name)
	}
}

// A cut-off cannot be longer than it was let sound; a person's watch may be a second late.
func TestNoCutOffIsLongerThanItSounded(t *testing.T) {
	on, off := switched("Sounder", true), switched("Sounder", false)
	const says = "cannot have stopped after"
	recordOf(t, on, 90*time.Second, stopped(90), off)
	recordOf(t, on, 90*time.Second, off, time.Hour, stopped(91))
	recordOf(t, on, 90*time.Second, stopped(91), off)
	refuses(t, says, on, 90*time.Second, stopped(91.1))
	refuses(t, says, on, 90*time.Second, off, time.Hour, stopped(91.1))
	refuses(t, says, stopped(0))
	refuses(t, says, switched("Chime", true), time.Hour, stopped(10))
	recordOf(t, decibels(98))
}

// What stands there of a cut-off is the time that it is judged by, to a tenth of a second
// where the program took it.
func TestACutOffIsWhatStandsThere(t *testing.T) {
	for name, tc := range map[string]struct {
		change func(*Reading)
		taken  bool
	}{
		"typed":               {func(r *Reading) { r.Value, r.AsTyped = 60, "1 min" }, true},
		"rounded":             {func(r *Reading) { r.Value, r.AsTyped = 60.04, "1 min" }, true},
		"rounded down":        {func(r *Reading) { r.Value, r.AsTyped = 59.96, "1 min" }, true},
		"not quite":           {func(r *Reading) { r.Value, r.AsTyped = 60.1, "1 min" }, false},
		"not stopped":         {func(r *Reading) { r.Value, r.AsTyped, r.Exceeded = 60, "> 1 min", true }, true},
		"stopped, not so":     {func(r *Reading) { r.Value, r.AsTyped = 60, "> 1 min" }, false},
		"not stopped, not so": {func(r *Reading) { r.Value, r.AsTyped, r.Exceeded = 60, "1 min", true }, false},
		"a tenth too much":    {func(r *Reading) { r.Value, r.AsTyped = 0.1, "0 s" }, false},
		"another time":        {func(r *Reading) { r.Value, r.AsTyped = 60, "15 min" }, false},
		"minutes":             {func(r *Reading) { r.Unit = "min" }, false},
		"nothing":             {func(r *Reading) { r.AsTyped = "" }, false},
	} {
		reading := stopped(60)
		tc.change(&reading)
		_, err := told(t, openedHonestly(t, asItIs), switched("Sounder", true), 2*time.Minute, reading)
		assert.Equal(t, tc.taken, err == nil, name)
	}
}

const loudSite = `{name: Horn, kind: sounder, address: h}, {name: Flash, kind: strobe, address: f}, `

// Under alarm load all that an alarm energises is on; a chime is none of it.
func TestAllOfTheAlarmLoad(t *testing.T) {
	site := strings.Replace(honestSite, "outputs: [", "outputs: ["+loudSite, 1)
	s := readSite(t, site)
	opened := Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: site,
		Programme: programme.Of(s, programme.Checklist{})}
	load := volts(programme.IDAlarmLoad, 11, "11 V")
	ampere := Reading{Step: programme.IDAlarmCurrent, Quantity: CurrentReading, Value: 0.6, Unit: "A", AsTyped: "600 mA"}
	for want, on := range map[bool][]string{true: {"Horn", "Flash", "Sounder"}, false: {"Horn", "Chime", "Sounder"}} {
		var facts []any
		for _, name := range on {
			facts = append(facts, switched(name, true))
		}
		r, err := told(t, opened, append(facts, load, ampere)...)
		require.NoError(t, err)
		assert.Equal(t, want, r.LoadedAll())
		assert.Equal(t, want, r.Find(programme.IDAlarmLoad).Reading(VoltageReading).Loaded)
		assert.Equal(t, want, r.Find(programme.IDAlarmCurrent).Reading(CurrentReading).Loaded)
		assert.True(t, r.Find(programme.IDAlarmCurrent).Concluded())
	}
	r, err := told(t, opened, switched("Sounder", true), decibels(98))
	require.NoError(t, err)
	assert.True(t, r.Find("outputs/Sounder").Reading(LevelReading).Loaded, "an output alone, where it is tried")
	quiet := strings.Replace(honestSite, "{name: Sounder, kind: sounder, address: s}, ", "", 1)
	s = readSite(t, quiet)
	r, err = told(t, Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: quiet,
		Programme: programme.Of(s, programme.Checklist{})})
	require.NoError(t, err)
	assert.False(t, r.LoadedAll(), "nothing is no load")
}

// Why an output went off in the middle, and that it was answered after that, stay with its step;
// a later time on begins anew.
func TestWhyAnOutputWentOff(t *testing.T) {
	on, off := Energised{Output: "Sounder", On: true, By: SwitchedByController},
		Energised{Output: "Sounder", By: SwitchedByController, Because: OffQuiet}
	heard := PartAnswer{Step: "outputs/Sounder", Question: "outputs/Sounder/observed", Text: string(Yes)}
	works := Answer{Step: "outputs/Sounder", Result: Works}
	for name, tc := range map[string]struct {
		story []any
		why   OffBecause
		after bool
	}{
		"answered after": {[]any{on, time.Second, off, heard, works}, OffQuiet, true},
		"before":         {[]any{on, time.Second, heard, off, works}, OffQuiet, false},
		"on again":       {[]any{on, time.Second, off, on, heard, Energised{Output: "Sounder", By: SwitchedByController}, works}, "", false},
	} {
		why, after := recordOf(t, tc.story...).Find("outputs/Sounder").OffBecause()
		assert.Equal(t, tc.why, why, name)
		assert.Equal(t, tc.after, after, name)
	}
}
