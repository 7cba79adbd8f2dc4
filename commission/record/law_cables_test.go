package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
)

// reused is a visit to the honest site whose cables are those of an older system.
func reused(t *testing.T) Opened {
	t.Helper()
	text := strings.Replace(honestSite, "zones:", "cables: {reused: \"yes\"}\nzones:", 1)
	s := readSite(t, text)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	return Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: text,
		Programme: programme.Of(s, list)}
}

var (
	isolated  = Answer{Step: programme.IDIsolated, Result: Done}
	leftWhole = Answer{Step: programme.IDIsolated, Result: LeftOut, Remark: "no instrument"}
	tester7   = Tester{Step: programme.IDTester, Name: "tester 7", Calibrated: "2027-03-01", Volt: 250, Share: 0.05}
)

// tested is a cable as two lines say it, with a change.
func tested(t *testing.T, measured string, change func(*CableTested)) CableTested {
	t.Helper()
	f := CableTested{Step: "cables/zone-1", Seen: "4 red black green white / hall", Measured: measured}
	var err error
	f.Is, err = checks.ParseCableSeen(f.Seen)
	require.NoError(t, err)
	if measured != "" {
		f.Values, err = checks.ParseCableMeasured(measured)
		require.NoError(t, err)
	}
	if change != nil {
		change(&f)
	}
	return f
}

// No cable is measured before somebody said that nothing is connected to it, and with what it
// is measured. What was only seen of it needs neither.
func TestCablesAreMeasuredWithNothingConnected(t *testing.T) {
	const line = "12.4 ohm >200 Mohm >200 Mohm"
	for name, before := range map[string][]any{
		"at once": nil, "with everything connected": {tester7}, "with nothing": {isolated},
		"the stage is left out": {leftWhole,
			tester7},
		"taken back":        {isolated, tester7, Reopened{Step: programme.IDIsolated}},
		"without it at all": {isolated, Answer{Step: programme.IDTester, Result: LeftOut, Remark: "broken"}},
	} {
		_, err := told(t, reused(t), append(before, tested(t, line, nil))...)
		var refused *Refusal
		require.ErrorAs(t, err, &refused, name)
		assert.Equal(t, LawIsolated, refused.Law, name)
		_, err = told(t, reused(t), append(before, tested(t, "", nil))...)
		assert.NoError(t, err, name)
	}
	r, err := told(t, reused(t), isolated, tester7, tested(t, line, nil))
	require.NoError(t, err)
	assert.Empty(t, r.Breaches())
	assert.Equal(t, tested(t, line, nil), *r.Find("cables/zone-1").Cable())
	assert.Equal(t, tester7, *r.Tester())
	assert.True(t, r.Find("cables/zone-1").Concluded())
}

// A value is what was typed, and an instrument is one.
func TestCablesAreAsTyped(t *testing.T) {
	const line = "12.4 ohm 150 Mohm >200 Mohm"
	for name, change := range map[string]func(*CableTested){
		"cores": func(f *CableTested) { f.Is.Cores = 5 }, "colours": func(f *CableTested) { f.Is.Colours[0] = "blue" },
		"label": func(f *CableTested) { f.Is.Label = "" }, "loop": func(f *CableTested) { f.Values.Loop.Ohm = 12 },
		"insulation": func(f *CableTested) { f.Values.Between.Ohm = 1e9 },
		"more":       func(f *CableTested) { f.Values.Between.Above = true },
		"none":       func(f *CableTested) { f.Values.Earth = nil },
		"no line":    func(f *CableTested) { f.Measured = "" }, "no cable": func(f *CableTested) { f.Seen = "red" },
	} {
		_, err := told(t, reused(t), isolated, tester7, tested(t, line, change))
		var refused *Refusal
		require.ErrorAs(t, err, &refused, name)
		assert.Equal(t, LawValueAsTyped, refused.Law, name)
	}
	for name, law := range map[string]struct {
		law    Law
		change func(*Tester)
	}{
		"no name":      {LawInstrument, func(f *Tester) { f.Name = " " }},
		"no day":       {LawInstrument, func(f *Tester) { f.Calibrated = "soon" }},
		"below 0 V":    {LawValueAsTyped, func(f *Tester) { f.Volt = -1 }},
		"20 kV":        {LawValueAsTyped, func(f *Tester) { f.Volt = 20_000 }},
		"all of it":    {LawValueAsTyped, func(f *Tester) { f.Share = 1 }},
		"another step": {LawFitsStep, func(f *Tester) { f.Step = "cables/zone-1" }},
	} {
		f := tester7
		law.change(&f)
		_, err := told(t, reused(t), f)
		var refused *Refusal
		require.ErrorAs(t, err, &refused, name)
		assert.Equal(t, law.law, refused.Law, name)
	}
}

// What concludes a step is what was answered about it before.
func TestCablesAreAsAnswered(t *testing.T) {
	part := func(question, text string) PartAnswer {
		return PartAnswer{Step: "cables/zone-1", Question: "cables/zone-1" + question, Text: text}
	}
	of := func(question, text string) PartAnswer {
		return PartAnswer{Step: programme.IDTester, Question: programme.IDTester + question, Text: text}
	}
	const line = "12.4 ohm >200 Mohm >200 Mohm"
	seen := part("", "4 red black green white / hall")
	for name, tc := range map[string]struct {
		facts  []any
		breaks bool
	}{
		"as answered": {[]any{isolated, of("", "tester 7"), of("/calibrated", "2027-03-01"), of("/volt", "250 V"),
			of("/uncertainty", "5 %"), tester7, seen, part("/measured", line), tested(t, line, nil)}, false},
		"another name":    {[]any{of("", "tester 8"), tester7}, true},
		"another day":     {[]any{of("/calibrated", ""), tester7}, true},
		"another voltage": {[]any{of("/volt", "9 V"), tester7}, true},
		"better":          {[]any{of("/uncertainty", "10 %"), tester7}, true},
		"other cores":     {[]any{part("", "2"), tested(t, "", nil)}, true},
		"other values":    {[]any{isolated, tester7, part("/measured", "open"), tested(t, line, nil)}, true},
		"values left out": {[]any{isolated, tester7, part("/measured", "open"), tested(t, "", nil)}, true},
		"nothing":         {[]any{isolated, tester7, part("/measured", "none"), tested(t, "", nil)}, false},
	} {
		r, err := told(t, reused(t), tc.facts...)
		require.NoError(t, err, name)
		var laws []Law
		for _, b := range r.Breaches() {
			laws = append(laws, b.Law)
		}
		assert.Equal(t, tc.breaks, len(laws) > 0, "%s: %v", name, laws)
	}
}

// Whoever goes back to a cable whose whole stage was left out enters the stage; a cable that was
// left out alone stays so when another is taken again.
func TestTheWholeStageIsLeftOut(t *testing.T) {
	left := func(id string) Answer { return Answer{Step: id, Result: LeftOut, Remark: "no instrument"} }
	facts := []any{leftWhole, left(programme.IDTester), left("cables/zone-1"), left("cables/zone-2")}
	r, err := told(t, reused(t), facts...)
	require.NoError(t, err)
	reason, with := r.LeftWith(programme.Step{ID: "cables/apart-1", Stage: programme.StageCables})
	assert.True(t, with)
	assert.Equal(t, "no instrument", reason)
	_, with = r.LeftWith(programme.Step{ID: "inspection/access", Stage: programme.StageInspection})
	assert.False(t, with)
	_, with = r.LeftWith(programme.Step{ID: programme.IDIsolated, Stage: programme.StageCables})
	assert.False(t, with, "it is what the others are left out with")
	r, err = told(t, reused(t), append(facts, Reopened{Step: "cables/zone-2"})...)
	require.NoError(t, err)
	for _, id := range []string{programme.IDIsolated, programme.IDTester, "cables/zone-1", "cables/zone-2"} {
		assert.False(t, r.Find(id).Concluded(), id)
	}
	r, err = told(t, reused(t), isolated, tester7, left("cables/zone-1"), left("cables/zone-2"),
		Reopened{Step: "cables/zone-2"})
	require.NoError(t, err)
	assert.True(t, r.Find("cables/zone-1").Concluded())
	assert.False(t, r.Find("cables/zone-2").Concluded())
}
