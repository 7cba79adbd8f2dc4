package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// A finding of one step rests on it; one that was computed from several readings on all
// of them.
func TestWhatAFindingRestsOn(t *testing.T) {
	s := begin(t)
	a := s.take(nil)
	assert.Equal(t, []string{"walk/1.1"}, a.RestsOn(Finding{Step: "walk/1.1"}))
	assert.Nil(t, a.RestsOn(Finding{Subject: Subject{Part: PartVisit}}))
	assert.Equal(t, []string{"supply/standby-4", "supply/standby-1", "supply/standby-2", "supply/standby-3"},
		a.RestsOn(Finding{Step: "supply/standby-4", Subject: Subject{Computed: SagRow{}}}))
	assert.Equal(t, []string{programme.IDAlarmLoad, "supply/standby-1"},
		a.RestsOn(Finding{Step: programme.IDAlarmLoad, Subject: Subject{Computed: InternalRow{}}}))
	one := begin(t)
	one.tell(answer(programme.IDMainsOff, record.Done, ""), reads("supply/standby-2", 12.4))
	assert.Equal(t, []string{programme.IDAlarmLoad, "supply/standby-2"},
		Assess(one.record).RestsOn(Finding{Step: programme.IDAlarmLoad, Subject: Subject{Computed: InternalRow{}}}))
	nothing := Assess(begin(t).record)
	assert.Equal(t, []string{programme.IDAlarmLoad},
		nothing.RestsOn(Finding{Step: programme.IDAlarmLoad, Subject: Subject{Computed: InternalRow{}}}))
	assert.Equal(t, []string{"supply/standby-4", programme.IDAlarmLoad},
		nothing.RestsOn(Finding{Step: "supply/standby-4", Subject: Subject{Computed: InternalRow{}}}))
}

// What is undertaken stands for the finding that it was said of, and no more once that
// says something else.
func TestUndertakenStandsForItsFinding(t *testing.T) {
	const fixing = "inspection/fixing"
	s := begin(t)
	a := s.take(map[string][]any{fixing: {answer(fixing, record.Defect, "loose")},
		"walk/2.1": append(attempt("walk/2.1", "z2", -1, 0), answer("walk/2.1", record.AsItIs))})
	require.NotEmpty(t, a.Findings())
	last := len(a.Findings()) - 1 // a line of a checklist stands behind what was operated
	f := a.Findings()[last]
	assert.Nil(t, a.Undertaken(f))
	s.tell(record.Undertaken{Said: f.Said(), Who: "Bea"})
	a = Assess(s.record)
	require.NotNil(t, a.Undertaken(a.Findings()[last]))
	assert.Equal(t, "Bea", a.Undertaken(a.Findings()[last]).Who)
	assert.Nil(t, a.Undertaken(Finding{Subject: f.Subject, What: NotChecked{}}), "of another")
	s.tell(answer(fixing, record.Defect, "loose at the hinge"))
	a = Assess(s.record)
	assert.Nil(t, a.Undertaken(a.Findings()[last]), "it says something else")
}
