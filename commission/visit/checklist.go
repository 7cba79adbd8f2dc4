package visit

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// check asks for what is open of a checklist: as a list, or for an item alone if it is the
// last that is open, or the technician went back to it.
func (v *Visit) check(ctx context.Context, s *record.Outcome) error {
	lines := v.linesWith(s)
	if open := v.openOf(lines); open < 2 || seen(v, (*record.Record).Chosen) == s {
		return v.item(ctx, s, alone)
	}
	if s.Step().Look() {
		return v.looks(ctx, s, lines)
	}
	// Its name begins as no step's does, so that an answer to any item is none to the list.
	q := ask.Question{ID: "list/" + string(s.Step().Stage), Takes: ask.Items{Of: v.itemsOf(lines)},
		What: ask.ListMatter{Stage: s.Step().Stage, All: len(lines), Open: v.openOf(lines)}}
	if s.Step().Kind == programme.StepOutstanding {
		q.ID, q.What = "list/outstanding", ask.PutRightList{All: len(lines), Open: v.openOf(lines)}
	}
	return v.list(ctx, q, lines)
}

// list asks for lines on one screen.
func (v *Visit) list(ctx context.Context, q ask.Question, lines []*record.Outcome) error {
	answer, err := v.operator.Ask(ctx, q)
	if err != nil {
		return err
	}
	switch answer.Text {
	case ask.ItemsLeave:
		return errLeave
	case ask.ItemsRest:
		return v.asTheyShouldBe(ctx, lines)
	case ask.ItemsEach:
		return v.oneByOne(ctx, lines)
	}
	return v.exceptions(ctx, lines, answer.Text)
}

// linesWith are the items that stand in a row with one, which are a list; of what is looked
// at, those of all detectors of a kind.
func (v *Visit) linesWith(s *record.Outcome) (lines []*record.Outcome) {
	_ = v.look(func(r *record.Record) {
		all := r.Outcomes()
		kind := programme.KindAt(r.Site(), s.Step().Point)
		is := func(i int) bool {
			step := all[i].Step()
			return step.Kind == s.Step().Kind && step.Stage == s.Step().Stage && step.Look() == s.Step().Look() &&
				programme.KindAt(r.Site(), step.Point) == kind
		}
		from := slices.Index(all, s)
		to := from + 1
		for from > 0 && is(from-1) {
			from--
		}
		for to < len(all) && is(to) {
			to++
		}
		lines = all[from:to]
	})
	return lines
}

// openOf counts the lines that are open.
func (v *Visit) openOf(lines []*record.Outcome) int {
	return seen(v, func(*record.Record) int {
		open := 0
		for _, o := range lines {
			if !o.Concluded() {
				open++
			}
		}
		return open
	})
}

// itemsOf are lines as they stand, by their numbers. Beside what is open stands the value that
// counts unless another is typed.
func (v *Visit) itemsOf(lines []*record.Outcome) (items []ask.Item) {
	now := v.clock.Now()
	_ = v.look(func(r *record.Record) {
		for i, o := range lines {
			item := ask.Item{Word: strconv.Itoa(i + 1), Step: o.Step().ID, Label: lineOf(r, o)}
			value := presumed(r, o.Step(), now)
			switch a := o.Answer(); {
			case a != nil && o.Concluded():
				item.Result, item.Remark = a.Result, a.Remark+a.Value // never both
			case value != "":
				item.Label = ask.WithValue{Line: lineOf(r, o), Value: value}
			}
			items = append(items, item)
		}
	})
	return items
}

// lineOf is what a line is called where it is known which detector it is of.
func lineOf(r *record.Record, o *record.Outcome) programme.Name {
	name := programme.NameOf(r.Site(), o.Step())
	name.Detector = nil
	return name
}

// asTheyShouldBe answers all that are open. Each is a fact of its own. What somebody had
// begun to answer otherwise before a break is asked to its end, and a value that nobody
// presumes is asked.
func (v *Visit) asTheyShouldBe(ctx context.Context, lines []*record.Outcome) error {
	for _, o := range lines {
		begun := seen(v, func(r *record.Record) bool {
			_, given := r.AnsweredBefore(o, o.Step().ID)
			return given
		})
		var err error
		switch {
		case o.Concluded():
		case begun:
			err = v.item(ctx, o, alone)
		case o.Step().Value != "":
			err = v.usualValue(ctx, o)
		default:
			err = v.add(record.Answer{Step: o.Step().ID, Result: wellAnswered(o)})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// wellAnswered is the answer that a line is as it should be.
func wellAnswered(o *record.Outcome) record.Result {
	if o.Step().Kind == programme.StepOutstanding {
		return record.Yes
	}
	return record.Done
}

// oneByOne asks for what is open until nothing is.
func (v *Visit) oneByOne(ctx context.Context, lines []*record.Outcome) error {
	for {
		next := seen(v, (*record.Record).Next)
		if next == nil || !slices.Contains(lines, next) {
			return nil
		}
		err := v.item(ctx, next, fromList)
		switch {
		case errors.Is(err, errToList):
			return nil // what is open is a list again
		case errors.Is(err, errBack):
			err = nil // it is taken from its beginning
		case errors.Is(err, errRedo):
			err = v.redo()
		}
		if err != nil {
			return err
		}
	}
}

// exceptions asks for items by their numbers, also for those that are concluded. The way back
// leads to the list, and what was answered before stands again.
func (v *Visit) exceptions(ctx context.Context, lines []*record.Outcome, words string) error {
	for _, word := range strings.Fields(words) {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > len(lines) {
			continue // an answer that was let pass
		}
		o := lines[n-1]
		stood := o.Answer()
		concluded := o.Concluded()
		if concluded {
			if err := v.add(record.Reopened{Step: o.Step().ID}); err != nil {
				return err
			}
		}
		for again := true; again; {
			err := v.item(ctx, o, fromList)
			if errors.Is(err, errToList) {
				if concluded {
					return v.add(*stood)
				}
				return nil
			}
			if again = errors.Is(err, errBack); err != nil && !again {
				return err
			}
		}
	}
	return nil
}

// errToList says that a line of a list was taken by mistake.
var errToList = errors.New("back to the list")

// What an item is asked from; the one has a word that leads back to it.
const (
	alone    = ""
	fromList = string(ask.BackToListChoice)
)

// item asks for one item of a checklist; wayBack is alone or fromList.
func (v *Visit) item(ctx context.Context, s *record.Outcome, wayBack string) error {
	options := []ask.Option{
		{Word: string(record.Done), Label: ask.DoneChoice}, // Enter alone, item by item; redo takes it back
		{Word: string(record.NotApplicable), Label: ask.NotApplicableChoice},
		{Word: string(record.Defect), Label: ask.DefectChoice},
		{Word: string(record.LeftOut), Label: ask.NotCheckedChoice}}
	if s.Step().Kind == programme.StepOutstanding {
		options = []ask.Option{ // by mistake, it stays as it was
			{Word: string(record.No), Label: ask.StillSoChoice},
			{Word: string(record.Yes), Label: ask.PutRightChoice},
			{Word: string(record.LeftOut), Label: ask.NotLookedAtChoice}}
	}
	what, value := v.valueOf(s)
	if value != "" || s.Step().Optional {
		options = append(options, valueOption)
	}
	if wayBack != alone {
		options = append(options, ask.Option{Word: wayBack, Label: ask.BackToListChoice})
	}
	word, err := v.keep(
		ctx,
		s,
		ask.Question{ID: s.Step().ID, What: what, WayBack: wayBack,
			Takes: ask.OneOf{Options: append(options, leaveOption)}},
	)
	if err != nil {
		return err
	}
	switch {
	case word == leaveOption.Word:
		return errLeave
	case wayBack != alone && word == wayBack:
		return errToList
	}
	answer := record.Answer{Step: s.Step().ID, Result: record.Result(word)}
	switch {
	case word == valueOption.Word,
		answer.Result == record.Done && value == "" && s.Step().Value != "" && !s.Step().Optional:
		answer.Result = record.Done
		answer.Value, err = v.typedValue(ctx, s)
	case answer.Result == record.Done:
		answer.Value = value
	case answer.Result == record.NotApplicable, answer.Result == record.LeftOut:
		answer.Remark, err = v.text(ctx, s, "/reason", ask.ReasonMatter, nil)
	case answer.Result == record.Defect:
		answer.Remark, err = v.text(ctx, s, "/note", ask.DefectMatter, nil)
	}
	if err != nil {
		return err
	}
	return v.add(answer)
}
