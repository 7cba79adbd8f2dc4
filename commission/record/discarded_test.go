package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

// everything concludes all steps of the honest site by leaving them out, and signs.
func everything(t *testing.T) []any {
	t.Helper()
	var facts []any
	for _, s := range openedHonestly(t, asItIs).Programme {
		if s.Kind != programme.StepSign {
			facts = append(facts, answer(s.ID, LeftOut))
		}
	}
	return append(facts, technician, customer)
}

// Who sets a visit aside says why; nothing follows it, and it is no attendance.
func TestAVisitThatIsSetAside(t *testing.T) {
	d := Discarded{Reason: "begun twice", By: "Bea"}
	assert.Nil(t, recordOf(t).Discarded())
	r := recordOf(t, answer(checkStep, Done), time.Minute, d)
	assert.Equal(t, &Discard{d, at(time.Minute)}, r.Discarded())
	assert.Equal(t, at(0), r.Attended())
	assert.Equal(t, at(time.Minute), r.Latest())
	r.Discarded().Reason = "another"
	assert.Equal(t, "begun twice", r.Discarded().Reason, "whoever reads it cannot change it")
	nameless := d
	nameless.By = ""
	assert.NotNil(t, recordOf(t, nameless).Discarded())
	for _, after := range []any{answer(checkStep, Done), d, Resumed{}, photo(1, nil), Note{Step: checkStep, Text: "a"}} {
		refuses(t, "stands behind the visit's having been set aside", d, after)
	}
	refuses(t, "entry 3 (discarded): the journal makes no sense: a visit is set aside without a reason",
		Discarded{Reason: " ", By: "Bea"})
	whole := everything(t)
	require.True(t, recordOf(t, whole...).Done())
	refuses(t, "a visit that is complete is set aside", append(whole, d)...)
	assert.NotNil(t, recordOf(t, append(whole[:len(whole)-1], d)...).Discarded(), "a name is missing")
}

// A trial that waited when the program was killed waits no more.
func TestATrialOfAVisitThatIsSetAside(t *testing.T) {
	r := recordOf(t, Cue{Step: "walk/1.1", Half: Operate}, time.Second, Discarded{Reason: "x"})
	trial, _ := r.Trial()
	assert.Nil(t, trial)
	assert.Equal(t, ByPause, r.Find("walk/1.1").Attempts()[0].Operate.EndedBy())
}

// What is added between runs is in a run of its own.
func TestRunsBetweenRuns(t *testing.T) {
	for _, f := range []Fact{photo(1, nil), Discarded{Reason: "x"},
		Corrected{Entry: 3, Field: NoteField, Text: "b", Reason: "a slip", By: "Bea"}} {
		noted := Note{Step: checkStep, Text: "a"}
		assert.NoError(t, take(t, recordOf(t, noted), 2, time.Minute, f), f.Kind())
		r := recordOf(t, noted, Resumed{})
		assert.ErrorIs(t, take(t, r, 1, time.Minute, f), ErrNoSense, f.Kind())
	}
	assert.ErrorIs(t, take(t, recordOf(t), 2, time.Minute, Undertaken{Said: []byte(`{"code":"x"}`), Who: "Bea"}),
		ErrNoSense, "it belongs to the visit")
}
