package programme

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/site"
)

// foundIn are the steps that ask for something, without their stems.
func foundIn(steps []Step) (found []string) {
	for _, s := range steps {
		if s.Kind == StepFound || s.Kind == StepExtent {
			found = append(found, strings.TrimPrefix(s.ID, "found/"))
		}
	}
	return found
}

// Only a take-over asks for each part that the file does not describe; what is told is asked at the
// visits that it concerns, and the form of the battery, on which the programme depends, never.
func TestWhatEachKindOfVisitAsksFor(t *testing.T) {
	s := read(t, whole)
	assert.Contains(t, s.Unknown(), site.Part{Group: site.GroupForm})
	parts := []string{"controller", "cable/1", "cable/2", "cable/3", "output/Sounder", "output/Chime", "output/Gong",
		"output/Flash", "charger", "battery"}
	afterAlarm := []string{"told/event", "extent", "told/cause"}
	for kind, want := range map[VisitKind][]string{Handover: nil, Maintenance: nil, Retest: nil, AfterAlarm: afterAlarm,
		TakeOver: append([]string{"told/history"}, parts...)} {
		assert.Equal(t, want, foundIn(OfKind(kind, s, Checklist{})), kind)
	}
	assert.ElementsMatch(t, append(append([]string{"told/history"}, parts...), afterAlarm...),
		foundIn(Whole(s, Checklist{})), "all that any kind takes")
}

// Each step asks for its own part, behind the list and before anything is operated.
func TestStepsForPartsOfASite(t *testing.T) {
	steps := OfKind(TakeOver, read(t, whole), list)
	for _, want := range []Step{
		{ID: "found/controller", Stage: StageInspection, Kind: StepFound, Group: site.GroupController},
		{ID: "found/cable/2", Stage: StageInspection, Kind: StepFound, Group: site.GroupCable, Zone: 2},
		{ID: "found/output/Gong", Stage: StageInspection, Kind: StepFound, Group: site.GroupOutput, Output: "Gong"},
	} {
		got := step(t, steps, want.ID)
		assert.Equal(t, want, got)
		assert.Equal(t, site.Part{Group: want.Group, Zone: want.Zone, Output: want.Output}, got.Part())
	}
	inspection := foundIn(steps)
	assert.Equal(t, []string{"inspection/s", "told/history", "found/controller"}, ids(steps)[4:7])
	assert.Equal(t, "walk/1.1", ids(steps)[5+len(inspection)])
	assert.Equal(t, "wiring/loop", WiringName("loop").Code())
}

// A step is called after its detector or its zone, or after neither.
func TestNamesOfWhatIsLookedAtAndFound(t *testing.T) {
	s := read(t, whole)
	hall := ZoneName{2, "Hall"}
	pir := &DetectorName{"2.1", "PIR", hall, false}
	for name, tc := range map[string]struct {
		step     Step
		detector *DetectorName
		zone     *ZoneName
	}{
		"a look":                   {Step{Kind: StepCheck, Point: "2.1"}, pir, nil},
		"found of a detector":      {Step{Kind: StepFound, Point: "2.1"}, pir, nil},
		"found of a zone":          {Step{Kind: StepFound, Zone: 2}, nil, &hall},
		"found of the whole":       {Step{Kind: StepFound}, nil, nil},
		"found of what is no more": {Step{Kind: StepFound, Zone: 9}, nil, nil},
		"a line about a cable":     {Step{Kind: StepCheck, Zone: 2}, nil, &hall},
		"a cable":                  {Step{Kind: StepCable, Zone: 2}, nil, &hall},
		"a line of the list":       {Step{Kind: StepCheck}, nil, nil},
	} {
		got := NameOf(s, tc.step)
		assert.Equal(t, tc.detector, got.Detector, name)
		assert.Equal(t, tc.zone, got.Zone, name)
	}
}
