package visit

import (
	"context"
	"errors"
	"slices"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// looks asks for what is looked at of the detectors of a kind: on one screen, whose items are
// the detectors. One that is not as it should be has a list of its own.
func (v *Visit) looks(ctx context.Context, s *record.Outcome, lines []*record.Outcome) error {
	kind := seen(v, func(r *record.Record) site.DetectorKind { return programme.KindAt(r.Site(), s.Step().Point) })
	answer, err := v.operator.Ask(ctx, v.looksOf(kind, lines))
	if err != nil {
		return err
	}
	switch answer.Text {
	case ask.ItemsLeave:
		return errLeave
	case ask.ItemsRest:
		return v.allOfKind(ctx, lines, kind)
	case ask.ItemsEach:
		return v.oneByOne(ctx, lines)
	}
	for _, word := range strings.Fields(answer.Text) {
		if err := v.looksAt(ctx, site.Point(word)); err != nil {
			return err
		}
	}
	return nil
}

// allOfKind answers all that is open of a kind.
func (v *Visit) allOfKind(ctx context.Context, lines []*record.Outcome, kind site.DetectorKind) error {
	if err := v.begunOtherwise(ctx, lines); err != nil {
		return err
	}
	if err := v.valuesOfKind(ctx, lines, kind); err != nil {
		return err
	}
	if seen(v, func(r *record.Record) int { return len(r.OpenLooks(kind)) }) == 0 {
		return nil
	}
	return v.add(record.Looked{Of: kind})
}

// looksOf asks for the detectors of a kind, below the lines that are looked at.
func (v *Visit) looksOf(kind site.DetectorKind, lines []*record.Outcome) ask.Question {
	var items []ask.Item
	var about []ask.Phrase
	open, leftOut := 0, 0
	_ = v.look(func(r *record.Record) {
		told := map[programme.ItemCode]bool{}
		for _, o := range lines {
			step := o.Step()
			if !told[step.Item] {
				told[step.Item] = true
				about = append(about, ask.LookLine{Name: lineOf(r, o)})
			}
			if n := len(items); n == 0 || items[n-1].Word != string(step.Point) {
				items = append(items, ask.Item{Word: string(step.Point), Step: programme.IDOfWalk(step.Point),
					Label: *programme.NameOf(r.Site(), step).Detector, Result: record.Done})
			}
			item := &items[len(items)-1]
			item.Result = worse(item.Result, o)
		}
		for _, i := range items {
			if i.Result != "" {
				continue
			}
			if open++; r.LeftOutAt(site.Point(i.Word)) {
				leftOut++
			}
		}
	})
	return ask.Question{ID: "list/walk-test/" + string(kind), About: about, Takes: ask.Items{Of: items, Brief: true},
		What: ask.LooksMatter{Of: kind, All: len(items), Open: open, LeftOut: leftOut}}
}

// worse is how a detector stands whose lines were so far a result, with one more of them: open
// as long as any is.
func worse(so record.Result, o *record.Outcome) record.Result {
	order := []record.Result{record.Done, record.NotApplicable, record.LeftOut, record.Defect, ""}
	is := o.Result()
	if !o.Concluded() {
		is = ""
	}
	if slices.Index(order, is) > slices.Index(order, so) {
		return is
	}
	return so
}

// looksAt asks for what is looked at of one detector, until nothing of it is open or the
// technician goes back to where they came from.
func (v *Visit) looksAt(ctx context.Context, p site.Point) error {
	for {
		lines := seen(v, func(r *record.Record) []*record.Outcome { return looksOfPoint(r, p) })
		if len(lines) == 0 {
			return nil // an answer that was let pass
		}
		name := seen(v, func(r *record.Record) *programme.DetectorName {
			return programme.NameOf(r.Site(), lines[0].Step()).Detector
		})
		q := ask.Question{ID: "list/" + programme.IDOfWalk(p), Takes: ask.Items{Of: v.itemsOf(lines)},
			What: ask.LooksMatter{Detector: name, All: len(lines), Open: v.openOf(lines)}}
		err := v.list(ctx, q, lines)
		switch {
		case errors.Is(err, errLeave):
			return nil // only this list is left
		case err != nil && !errors.Is(err, errBack):
			return err
		case v.openOf(lines) == 0:
			return nil
		}
	}
}

func looksOfPoint(r *record.Record, p site.Point) []*record.Outcome {
	return slices.DeleteFunc(r.Outcomes(), func(o *record.Outcome) bool {
		return !o.Step().Look() || o.Step().Point != p
	})
}

// openLooks are the lines that are open of what is looked at of a detector.
func openLooks(r *record.Record, p site.Point) (names []programme.Name) {
	for _, o := range looksOfPoint(r, p) {
		if !o.Concluded() {
			names = append(names, lineOf(r, o))
		}
	}
	return names
}
