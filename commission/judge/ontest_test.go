package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What would leave a burglary without response comes before whatever else limits the result.
func TestWhatMayStillBeOnTestComesFirst(t *testing.T) {
	list := ordered(
		[]Finding{{What: NotTested{}}, {What: ReadingOutside{}}, {What: StillOnTest{}}, {What: NoOutput{}}},
		"L",
	)
	require.Equal(t, "still-on-test", list[0].Code())
	assert.Equal(t, consequence{Fault, TakeOffTest}, list[0].consequence())
	assert.Equal(
		t,
		"danger",
		string(ordered([]Finding{{What: StillOnTest{}}, {What: MainsStillRemoved{}}}, "F")[0].Severity()),
	)
	again, known := Recall(list[0].Said())
	require.True(t, known)
	assert.Equal(t, list[0].What, again.What)
}

// A kept visit that says it was put on test and taken off has no such limitation; without the answer about the latter
// it has, instead of a line that was not answered.
func TestPutOnTestAndNotTakenOff(t *testing.T) {
	a, _ := afterVisits(t, 0, nil)
	line, left := a.leftOnTest()
	require.NotNil(t, line)
	assert.False(t, left)
	for i, s := range a.checklist {
		if s == line {
			a.checklist = append(a.checklist[:i:i], a.checklist[i+1:]...)
			break
		}
	}
	before := len(a.limitations)
	a.findOnTest()
	require.Len(t, a.limitations, before+1)
	assert.Equal(t, Subject{Part: PartCentre}, a.limitations[before].Subject)
	a.checklist = nil
	_, left = a.leftOnTest()
	assert.False(t, left, "it was never put on test")
}
