package record

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// lookedSite has contacts whose covers report, and a zone of which nobody knows which device did.
const lookedSite = `
reference: H-1
premises: {name: a, address: b}
installer: {company: c}
monitoring: {centre: Northmoor}
agreed: {keyholders: two}
controller: {description: d}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Hall, kind: motion, wiring: normally closed, address: z1, detectors: [Hall]}
  - {number: 2, name: Rooms, kind: motion, wiring: normally closed, address: z2, detectors: [East, West]}
  - {number: 3, name: Pane, kind: glass-break, wiring: normally closed, address: z3, detectors: [Pane]}
`

func lookedAt(t *testing.T, facts ...any) (*Record, error) {
	t.Helper()
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	return told(t, Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: lookedSite,
		Programme: programme.Of(readSite(t, lookedSite), list)}, facts...)
}

// One answer concludes what is open of a kind, and nothing else: what was found otherwise
// stays, and so does what somebody began to answer, and what asks for a value.
func TestOneAnswerForAKind(t *testing.T) {
	defect := Answer{Step: "walk/2.1/edges", Result: Defect, Remark: "blind corner"}
	begun := PartAnswer{Step: "walk/2.2/lamp", Question: "walk/2.2/lamp", Text: "not tested"}
	r, err := lookedAt(t, defect, begun, time.Second, Looked{Of: "motion"})
	require.NoError(t, err)
	assert.Equal(t, Defect, r.Find("walk/2.1/edges").Result())
	assert.False(t, r.Find("walk/2.2/lamp").Concluded())
	for _, id := range []string{"walk/1.1/edges", "walk/1.1/tamper", "walk/2.1/lamp", "walk/2.2/edges"} {
		assert.Equal(t, Done, r.Find(id).Result(), id)
	}
	assert.False(t, r.Find("walk/3.1/tamper").Concluded(), "of another kind")
	assert.False(t, r.Find("walk/1.1").Concluded(), "looked at, and not operated")
	assert.Equal(t, "walk/2.2/tamper", r.LatestTaken().Step().ID)

	r, err = lookedAt(t, Looked{Of: "glass-break"})
	require.NoError(t, err)
	assert.True(t, r.Find("walk/3.1/tamper").Concluded())
	assert.False(t, r.Find("walk/3.1/tester").Concluded(), "nobody said with which")
	r, err = lookedAt(t, Answer{Step: "walk/3.1", Result: LeftOut, Remark: "boarded up"}, Looked{Of: "glass-break"})
	require.NoError(t, err)
	assert.Equal(t, LeftOut, r.Find("walk/3.1/tester").Result(), "nothing is so of what was left out")
	for _, refused := range [][]any{{Looked{Of: "door"}}, {Looked{Of: "glass-break"}, Looked{Of: "glass-break"}}} {
		_, err = lookedAt(t, refused...)
		assert.ErrorIs(t, err, ErrNoSense)
	}
}

// A tamper signal answers for the one device of its zone. Of several nobody knows which it was,
// and what the broker kept was not given now.
func TestATamperSignalAnswers(t *testing.T) {
	of := func(address string) signal.Signal { return signal.Signal{Address: address, State: signal.Tamper} }
	kept := of("z1")
	kept.Kept = signal.Retained
	for name, tc := range map[string]struct {
		facts []any
		step  string
		is    bool
	}{
		"its zone":           {[]any{of("z1")}, "walk/1.1/tamper", true},
		"a zone of several":  {[]any{of("z2")}, "walk/2.1/tamper", false},
		"another state":      {[]any{signal.Signal{Address: "z1", State: signal.Trouble}}, "walk/1.1/tamper", false},
		"kept from earlier":  {[]any{kept}, "walk/1.1/tamper", false},
		"another line of it": {[]any{of("z1")}, "walk/1.1/masking", false},
	} {
		r, err := lookedAt(t, tc.facts...)
		require.NoError(t, err, name)
		assert.Equal(t, tc.is, r.Find(tc.step).Concluded(), name)
		assert.Equal(t, tc.is, r.Find(tc.step).BySignal(), name)
	}
	r, err := lookedAt(t, of("z1"), Reopened{Step: "walk/1.1/tamper"}, Answer{Step: "walk/1.1/tamper", Result: Done})
	require.NoError(t, err)
	assert.False(t, r.Find("walk/1.1/tamper").BySignal(), "somebody said so")
	r, err = lookedAt(t, Answer{Step: "walk/1.1/tamper", Result: Defect, Remark: "silent"}, of("z1"))
	require.NoError(t, err)
	assert.Equal(t, Defect, r.Find("walk/1.1/tamper").Result(), "what was found before is not put right by it")
}

// A value stands where it is asked for, in its form, and nowhere else.
func TestValuesStandWhereTheyAreAsked(t *testing.T) {
	of := func(step string, result Result, value string) Answer {
		return Answer{Step: step, Result: result, Value: value}
	}
	for name, a := range map[string]Answer{
		"no value":          of("hand-over/keyholders", Done, ""),
		"a blank":           of("hand-over/keyholders", Done, " "),
		"no time":           of("inspection/on-test-from", Done, "25:00"),
		"a line without":    of("inspection/mains", Done, "x"),
		"of what is not so": of("hand-over/keyholders", LeftOut, "two"),
		"of a detector":     of("walk/1.1", AsItIs, "x"),
	} {
		_, err := lookedAt(t, a)
		assert.ErrorIs(t, err, ErrNoSense, name)
	}
	for _, a := range []Answer{of("hand-over/keyholders", Done, "two"), of("inspection/on-test-from", Done, "09:05"),
		of("hand-over/persons", Done, ""), of("hand-over/persons", Done, "a helper"), of("hand-over/keyholders", LeftOut,
			"")} {
		r, err := lookedAt(t, a)
		require.NoError(t, err, a.Step)
		assert.Equal(t, a.Value, r.Find(a.Step).Value())
		assert.Empty(t, r.Breaches(), a.Step)
	}
	r, err := lookedAt(t, of("inspection/on-test-from", Done, "09:05"), Looked{Of: "motion"})
	require.NoError(t, err)
	entry := 0
	for _, p := range r.Correctable() {
		if p.Field == ValueField {
			entry = p.Entry
		}
		assert.NotEqual(t, "walk/1.1/edges", p.Step, "one answer for a kind has no text")
	}
	fix := Corrected{Entry: entry, Field: ValueField, Text: "09:15", Reason: "misread", By: "Bea"}
	require.NoError(t, r.MayCorrect(fix))
	fix.Text = "soon"
	assert.Error(t, r.MayCorrect(fix))
}

// A device that is another now is looked at again; the lines of one that is gone go with it.
func TestLooksAfterAChangeOfTheSite(t *testing.T) {
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	before := readSite(t, lookedSite)
	text := replaced(t, lookedSite, "detectors: [East, West]", "detectors: [North]")
	after := readSite(t, text)
	changed := SiteChanged{Site: text, Programme: programme.Revised(before, after,
		programme.Of(before, list), programme.Of(after, list))}
	r, err := lookedAt(t, Looked{Of: "motion"}, changed)
	require.NoError(t, err)
	assert.True(t, r.Find("walk/1.1/edges").Concluded())
	assert.False(t, r.Find("walk/2.1/edges").Concluded(), "another device")
	assert.Nil(t, r.Find("walk/2.2/edges"), "it is gone")
}

func replaced(t *testing.T, text, was, is string) string {
	t.Helper()
	require.Contains(t, text, was)
	return strings.Replace(text, was, is, 1)
}
