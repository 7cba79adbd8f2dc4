package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// A note after a missed operation is a repair, if the detector is proved then.
func TestWhatWasMended(t *testing.T) {
	note := func(text string) []any { return []any{Note{Step: struckStep, Text: text}} }
	proved := tried(struckStep, "z1")
	unsteady := story(half(struckStep, Operate, "z1", signal.Active), []any{Cue{Step: struckStep, Half: Restore},
		5 * time.Minute, Ended{Step: struckStep, By: ByTime}, signal.Signal{Address: "z1", State: signal.Restored}})
	for name, tc := range map[string]struct {
		facts  []any
		mended []string
		since  int // attempts that say how the detector is now
	}{
		"nothing tried":                      {nil, nil, 0},
		"proved at once":                     {story(note("stiff"), proved), nil, 1},
		"missed, mended, proved":             {story(silent(), note("realigned"), note("tight"), proved), []string{"realigned", "tight"}, 1},
		"a note before the miss":             {story(note("stiff"), silent(), note("realigned"), proved), []string{"realigned"}, 1},
		"missed, proved without":             {story(silent(), proved), nil, 2},
		"a note about a proof":               {story(proved, note("stiff"), proved), nil, 2},
		"missed again":                       {story(silent(), note("realigned"), silent()), nil, 2},
		"mended, and not yet tried":          {story(silent(), note("realigned")), nil, 1},
		"a note after the proof, too":        {story(silent(), note("a"), proved, note("b")), []string{"a", "b"}, 1},
		"broken off, mended, not yet tried":  {story(brokenOff(5*time.Second), note("a")), nil, 1},
		"mended twice":                       {story(silent(), note("a"), silent(), note("b"), proved), []string{"b"}, 1},
		"not restored":                       {story(unsteady, note("a"), proved), []string{"a"}, 1},
		"broken off past its limit":          {story(brokenOff(5*time.Second), note("a"), proved), []string{"a"}, 1},
		"a note about a proof, missed after": {story(proved, note("a"), silent(), proved), nil, 3},
		"broken off before it":               {story(brokenOff(time.Second), note("a"), proved), nil, 2},
		"the miss was struck":                {story(silent(), note("a"), proved, []any{strike(1)}), nil, 2},
		"the proof was struck":               {story(silent(), note("a"), proved, []any{strike(2)}), nil, 2},
		"only another, also a proof":         {story(silent(), note("a"), proved, proved), []string{"a"}, 2},
	} {
		o := recordOf(t, tc.facts...).Find(struckStep)
		assert.Equal(t, tc.mended, o.Mended(), name)
		assert.Len(t, o.SinceMended(), tc.since, name)
	}
}

// A report that no rule understood is told until its zone is proved without one.
func TestAMendedMapping(t *testing.T) {
	garbled := func(address string) []any {
		return []any{signal.Signal{Address: address, State: signal.NotUnderstood, Raw: "opn"}}
	}
	operate, restore := half(struckStep, Operate, "z1", signal.Active), half(struckStep, Restore, "z1", signal.Restored)
	operated := func(address string) []any { return story(operate[:1], garbled(address), operate[1:], restore) }
	restored := func(address string) []any { return story(operate, restore[:1], garbled(address), restore[1:]) }
	for name, tc := range map[string]struct {
		facts  []any
		stands bool
	}{
		"never proved":                     {garbled("z1"), true},
		"proved":                           {story(garbled("z1"), tried(struckStep, "z1")), false},
		"another step's attempt, struck":   {story(garbled("z1"), silent()), true},
		"another zone proved":              {story(garbled("z1"), tried("walk/2.1", "z2")), true},
		"one while it was operated":        {operated("z1"), true},
		"one while it was restored":        {restored("z1"), true},
		"another's while it was operated":  {story(garbled("z1"), operated("z2")), false},
		"another's while it was restored":  {story(garbled("z1"), restored("z2")), false},
		"one while operated, proved again": {story(operated("z1"), tried(struckStep, "z1")), false},
	} {
		assert.Equal(t, tc.stands, recordOf(t, tc.facts...).Garbled("z1") != "", name)
	}
}

// What a board shows is the last report: one that was understood since takes the place of one that was
// not, whatever other addresses report.
func TestWhatIsGarbledNow(t *testing.T) {
	garbled := func(address string) any {
		return signal.Signal{Address: address, State: signal.NotUnderstood, Raw: "opn"}
	}
	understood := func(address string) any { return signal.Signal{Address: address, State: signal.Restored} }
	for want, facts := range map[string][][]any{
		"": {{}, {understood("z1")}, {garbled("z1"), understood("z1")}, {garbled("z2")},
			{garbled("z1"), understood("z1"), garbled("z2")}},
		"opn": {{garbled("z1")}, {understood("z1"), garbled("z1")}, {garbled("z1"), understood("z2")}},
	} {
		for _, f := range facts {
			assert.Equal(t, want, recordOf(t, f...).GarbledNow("z1"), f)
		}
	}
}
