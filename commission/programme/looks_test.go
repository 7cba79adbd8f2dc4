package programme

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

// A line of a company's list of looks has the name of its detector and its own, and stands in the
// walk-test: nothing else is let in where no list of ours gives a step.
func TestWhatCouldBeALook(t *testing.T) {
	look := Step{ID: "walk/1.2/hinge", Stage: StageWalkTest, Kind: StepCheck, Point: "1.2", Item: "hinge"}
	assert.True(t, CouldBeLook(look))
	for name, change := range map[string]func(*Step){
		"another kind":       func(s *Step) { s.Kind = StepDetector },
		"another stage":      func(s *Step) { s.Stage = StageInspection },
		"another item":       func(s *Step) { s.Item = "gap" },
		"another detector":   func(s *Step) { s.Point = "1.1" },
		"nothing before it":  func(s *Step) { s.ID = "hinge" },
		"no detector":        func(s *Step) { s.Point, s.ID = "", "walk//hinge" },
		"the walk itself":    func(s *Step) { s.ID, s.Item = "walk/1.2", "" },
		"a line of the list": func(s *Step) { s.ID, s.Stage, s.Point = "inspection/hinge", StageInspection, "" },
	} {
		other := look
		change(&other)
		assert.False(t, CouldBeLook(other), name)
	}
}

// Looks go with the detector of their kind, and only looks do.
func TestWhichLooksAreOutdated(t *testing.T) {
	before := read(t, whole)
	look := func(p site.Point) Step { return Step{Kind: StepCheck, Stage: StageWalkTest, Point: p} }
	for name, tc := range map[string]struct {
		from, to string
		step     Step
		outdated bool
	}{
		"nothing changed":          {"", "", look("1.2"), false},
		"another kind":             {"kind: door", "kind: window", look("1.2"), true},
		"another zone's kind":      {"kind: door", "kind: window", look("2.1"), false},
		"gone":                     {"[Door, Hatch]", "[Door]", look("1.2"), true},
		"another name":             {"[Door, Hatch]", "[Door, Flap]", look("1.2"), false},
		"the walk to another":      {"kind: door", "kind: window", Step{Kind: StepDetector, Point: "1.2"}, false},
		"a line at no detector":    {"kind: door", "kind: window", Step{Kind: StepCheck}, false},
		"a detector none had":      {"kind: door", "kind: window", look("9.9"), false},
		"a new one where was none": {"[Door, Hatch]", "[Door, Hatch, Flap]", look("1.3"), true},
	} {
		assert.Equal(t, tc.outdated, Outdated(before, read(t, strings.Replace(whole, tc.from, tc.to, 1)), tc.step), name)
	}
}

// What the site file says of an agreement is offered at the line of that name that asks for a
// value, and at no other.
func TestWhatTheSiteDeclaresOfALine(t *testing.T) {
	s := read(t, "agreed: {keyholders: two, log_book_place: cupboard}\n"+whole[1:])
	for name, tc := range map[string]struct {
		step Step
		says string
	}{
		"the first":           {Step{Kind: StepCheck, Item: "keyholders", Value: TextValue}, "two"},
		"hyphens in its name": {Step{Kind: StepCheck, Item: "log-book-place", Value: TextValue}, "cupboard"},
		"not agreed":          {Step{Kind: StepCheck, Item: "agreement", Value: TextValue}, ""},
		"no value is asked":   {Step{Kind: StepCheck, Item: "keyholders"}, ""},
		"at a detector":       {Step{Kind: StepCheck, Item: "keyholders", Value: TextValue, Point: "1.1"}, ""},
	} {
		assert.Equal(t, tc.says, Declared(s, tc.step), name)
	}
	assert.Empty(t, Declared(read(t, whole), Step{Kind: StepCheck, Item: "keyholders", Value: TextValue}))
}

// A look of an earlier list that the list has no more is taken again where it was not so, as long
// as its detector is there.
func TestARetestOfLooksOfAnEarlierList(t *testing.T) {
	own, err := ReadChecklist("c.yaml", []byte("detectors: {door: [{id: hinge, text: oiled}]}\n"))
	require.NoError(t, err)
	earlier := Of(read(t, whole), own)
	again := named([]string{"walk/1.2/hinge"})
	taken := func(text string) []string { return ids(OfRetest(read(t, text), Checklist{}, earlier, again)) }
	assert.Equal(t, []string{"walk/1.2/hinge", IDTechnician, IDCustomer}, taken(whole))
	assert.Equal(t, []string{IDTechnician, IDCustomer}, taken(strings.Replace(whole, "[Door, Hatch]", "[Door]", 1)))
}
