package programme

import (
	"slices"
	"strings"

	"loopwitness/commission/site"
)

// lookSteps are what is looked at of each detector, behind all detectors of the walk: who
// walks is not held up by questions. They stand kind by kind, as they are asked.
func lookSteps(s *site.Site, looks map[site.DetectorKind][]Item) []Step {
	var steps []Step
	for _, kind := range site.Kinds {
		items := looks[site.DetectorKind(kind)]
		if len(items) == 0 {
			continue
		}
		s.Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
			if string(d.Kind) != kind {
				return
			}
			for _, item := range items {
				if item.concernsSite(s) {
					steps = append(steps, Step{ID: lookPrefix(p) + string(item.ID), Stage: StageWalkTest, Kind: StepCheck,
						Point: p, Item: item.ID, Text: item.Text, Value: item.Value, Optional: item.Optional})
				}
			}
		})
	}
	return steps
}

func lookPrefix(p site.Point) string { return IDOfWalk(p) + "/" }

// IDOfWalk is the step at which a detector is operated.
func IDOfWalk(p site.Point) string { return "walk/" + string(p) }

// CouldBeLook tells whether a step that no list of ours gives may be a line of what a company
// looks at of a detector.
func CouldBeLook(s Step) bool {
	item, of := strings.CutPrefix(s.ID, lookPrefix(s.Point))
	return s.Look() && s.Stage == StageWalkTest && of && item == string(s.Item)
}

// KindAt is the kind of the detector at a point, "" where the site has none.
func KindAt(s *site.Site, p site.Point) site.DetectorKind {
	if _, d, err := s.Find(p); err == nil {
		return d.Kind
	}
	return ""
}

// Outdated tells whether a look is one of a detector that the site has no more, or that is of
// another kind now: its lines are others.
func Outdated(before, after *site.Site, s Step) bool {
	return s.Look() && KindAt(before, s.Point) != KindAt(after, s.Point)
}

// RecordsItem is the line that says where the record is kept.
const RecordsItem ItemCode = "records"

// The lines that say when a system was put on test at its receiving centre, and off again.
const (
	OnTestItem     ItemCode = "on-test"
	OnTestFromItem ItemCode = "on-test-from"
	OffTestItem    ItemCode = "off-test"
)

// TamperItem is the line that a tamper signal answers: opening the device was reported.
const TamperItem ItemCode = "tamper"

// Declared is what the site file says of a line that asks for a value, "" for nothing. The
// item has the name of the key.
func Declared(s *site.Site, step Step) string {
	if step.Value == "" || step.Look() {
		return ""
	}
	key := strings.ReplaceAll(string(step.Item), "-", "_")
	if i := slices.IndexFunc(s.Agreed, func(a site.Agreed) bool { return a.Key == key }); i >= 0 {
		return s.Agreed[i].Text
	}
	return ""
}
