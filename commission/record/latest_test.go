package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
)

// What the last reading or answer belongs to, which can be taken again at once.
func TestTheLatestTaken(t *testing.T) {
	volt := volts(programme.IDMainsPresent, 121, "121 V")
	done := answer(checkStep, Done)
	part := PartAnswer{Step: programme.IDVoltmeter, Question: "name", Text: "x"}
	for name, tc := range map[string]struct {
		facts []any
		want  string // "" for none
	}{
		"nothing":                 {nil, ""},
		"a reading":               {[]any{done, volt}, programme.IDMainsPresent},
		"an answer":               {[]any{volt, done}, checkStep},
		"a part of an answer":     {[]any{volt, part}, programme.IDVoltmeter},
		"an instrument":           {[]any{volt, Instrument{Step: programme.IDVoltmeter, Name: "x"}}, programme.IDVoltmeter},
		"taken again":             {[]any{volt, Reopened{programme.IDMainsPresent}}, ""},
		"another one taken again": {[]any{volt, Reopened{checkStep}}, ""},
		"gone to":                 {[]any{volt, Entered{Stage: programme.StageSupply, Step: programme.IDVoltmeter}}, ""},
		"another stage":           {[]any{volt, Entered{Stage: programme.StageWalkTest}}, programme.IDMainsPresent},
		"a trial":                 {story([]any{volt}, tried("walk/1.1", "z1")), ""},
		"a note":                  {[]any{volt, Note{Step: checkStep, Text: "x"}}, programme.IDMainsPresent},
		"a name": {[]any{done, Signed{Step: programme.IDTechnician, Role: programme.Technician,
			Name: "x"}}, ""},
		"a site change": {[]any{volt, mended(t, "address: z2", "address: z7")}, ""},
		"after a break": {[]any{volt, Resumed{}}, programme.IDMainsPresent},
	} {
		got := ""
		if o := recordOf(t, tc.facts...).LatestTaken(); o != nil {
			got = o.Step().ID
		}
		assert.Equal(t, tc.want, got, name)
	}
}

// What was confirmed stays so over a break.
func TestConfirmedBeforeABreak(t *testing.T) {
	part := PartAnswer{Step: programme.IDVoltmeter, Question: "name", Text: "x", Confirmed: true}
	r := recordOf(t, part, time.Second, Resumed{})
	assert.True(t, r.ConfirmedBefore(r.Find(programme.IDVoltmeter), "name"))
	assert.False(t, r.ConfirmedBefore(r.Find(programme.IDVoltmeter), "other"))
}
