package learn

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Silence is how long nothing may ever have come before that is told.
const Silence = 30 * time.Second

// Walk is the talk with whoever walks through a site and opens each thing once.
type Walk struct {
	Operator ask.Operator
	Source   signal.Source
	Clock    clock.Clock
	Learner  *Learner
	// Keep keeps what was said, so that a break loses nothing.
	Keep func([]Said) error
	// Photographs keeps what is photographed; nil for nowhere.
	Photographs Photographs

	begun time.Time
	told  bool                // that nothing came
	down  map[signal.Way]bool // the ears that hear nothing now
	inbox inbox
	thing thing
	now   present
}

// walker is a source that somebody walks through: a simulated building.
type walker interface{ OperateNext() bool }

// Listen begins to listen; the source delivers until it is closed. Without it, no walk
// hears anything. Errors are those of the source.
func (w *Walk) Listen(ctx context.Context) error {
	w.begun, w.down = w.Clock.Now(), map[signal.Way]bool{}
	w.inbox.changed = make(chan struct{}, 1)
	w.inbox.sees = w.now.sees
	return w.Source.Start(ctx, &w.inbox)
}

// Run goes on until the walk is said to be over. It may be run again, to go on. Errors:
// ask.ErrPaused, ask.ErrUnanswered, the context's, or those of Keep.
func (w *Walk) Run(ctx context.Context) error {
	for {
		w.shows()
		if o, some := w.Learner.Next(); some {
			if err := w.about(ctx, o); err != nil {
				return err
			}
			continue
		}
		key, err := w.wait(ctx)
		switch {
		case err != nil:
			return err
		case key == ask.Finish:
			if !w.Learner.AnythingHeard() {
				w.Operator.Tell(ask.NothingHeard{For: w.since()})
			}
			return nil
		case key == ask.Forget:
			if err := w.takeBack(); err != nil {
				return err
			}
		}
	}
}

// since is how long it was listened.
func (w *Walk) since() time.Duration {
	return max(time.Second, w.Clock.Now().Sub(w.begun).Round(time.Second))
}

func (w *Walk) takeBack() error {
	s, was := w.Learner.TakeBack()
	if !was {
		w.Operator.Tell(ask.NothingToForget{})
		return nil
	}
	w.Operator.Tell(ask.Forgotten{Zone: s.Zone, Detector: s.Name})
	return errors.Join(w.Keep(w.Learner.Said()), w.forget(s.Photographs))
}

// wait shows what is learnt and waits for whatever comes first: an operation, a key, or
// the end.
func (w *Walk) wait(ctx context.Context) (ask.Key, error) {
	if building, is := w.Source.(walker); is && len(w.Learner.waiting) == 0 {
		building.OperateNext()
	}
	watching, err := w.Operator.Watch(ctx, ask.Watch{ID: "learn/walk", Title: ask.OpenNext,
		Lines: []ask.Phrase{ask.OneAtATimeAdvice, ask.OnTestAdvice}, Keys: []ask.Key{ask.Finish, ask.Forget}})
	if err != nil {
		return "", err
	}
	defer watching.Close()
	quiet := make(chan struct{})
	defer w.Clock.AfterFunc(Silence-w.Clock.Now().Sub(w.begun), func() { close(quiet) })()
	for {
		w.take(watching.Say)
		if len(w.Learner.waiting) > 0 {
			return "", nil
		}
		select {
		case pressed, open := <-watching.Pressed():
			return key(pressed, open)
		default:
		}
		if w.Clock.Pass(time.Time{}) {
			continue
		}
		zones, detectors := w.Learner.Learnt()
		watching.Status(ask.LearningStatus{Zones: zones, Detectors: detectors})
		select {
		case pressed, open := <-watching.Pressed():
			return key(pressed, open)
		case <-w.inbox.changed:
		case <-quiet:
			quiet = nil
			if !w.told && !w.Learner.AnythingHeard() {
				w.told = true
				watching.Say(ask.NothingHeard{For: w.since()})
			}
		case <-ctx.Done():
			return "", ctx.Err()
		}
	}
}

// key is the meaning of a key; nobody left to press one is a pause.
func key(pressed ask.Pressed, open bool) (ask.Key, error) {
	switch {
	case !open, pressed.Key == ask.Interrupted, pressed.Key == ask.Gone:
		return "", ask.ErrPaused
	}
	return pressed.Key, nil
}

// take takes what came, and tells of what leads to no question.
func (w *Walk) take(say func(ask.Notice)) {
	for _, came := range w.inbox.empty() {
		switch c := came.(type) {
		case signal.Signal:
			switch w.Learner.Heard(c) {
			case Garbled:
				say(ask.AddressGarbled{Address: c.Address, Raw: c.Raw})
			case Finished:
				say(ask.ZoneReportsAgain{Address: c.Address, Zone: w.Learner.ZoneName(c.Address)})
			}
		case signal.Connection:
			if w.down[c.Ear] == c.Up {
				w.down[c.Ear] = !c.Up
				say(connection(c))
			}
		}
	}
}

func connection(c signal.Connection) ask.Notice {
	switch {
	case c.Ear != "" && c.Up:
		return ask.EarBack{Ear: c.Ear}
	case c.Ear != "":
		return ask.EarLost{Ear: c.Ear}
	case c.Up:
		return ask.ConnectedAgain{}
	}
	return ask.NotConnected{}
}

// about asks about an operation.
func (w *Walk) about(ctx context.Context, o Operation) error {
	w.thing.begin(o.Address)
	said, err := w.ask(ctx, o)
	taken := w.thing.end()
	w.take(func(n ask.Notice) { w.Operator.Tell(n) }) // what came while the question stood
	if errors.Is(err, errBack) {
		w.Learner.Forget()
		return w.forget(taken)
	}
	if err != nil {
		return err
	}
	said.Photographs = taken
	w.Learner.Say(said)
	if said.What == Detector {
		w.Operator.Tell(
			ask.Learnt{Zone: w.Learner.ZoneName(o.Address), Detector: said.Name, Address: o.Address, Kind: said.Kind},
		)
	}
	return w.Keep(w.Learner.Said())
}

// ask asks what was opened; a way back leads to the question before it.
func (w *Walk) ask(ctx context.Context, o Operation) (Said, error) {
	w.Operator.Tell(ask.AddressReports{Address: o.Address, State: o.State, Raw: o.Raw})
	s := Said{What: Detector, Address: o.Address}
	q := questions{ctx: ctx, operator: w.Operator, id: "learn/" + o.Address, shows: ask.ThingAt(o.Address)}
	if o.Zone != nil {
		q.id += fmt.Sprintf("/%d", len(o.Zone.Detectors)+1)
	}
	for {
		q.begin()
		if o.Zone == nil {
			w.first(&q, o, &s)
		} else {
			w.again(&q, o, &s)
		}
		if !errors.Is(q.err, errBack) || len(q.answers) == 0 {
			return s, q.err
		}
		q.answers = q.answers[:len(q.answers)-1]
	}
}

func (w *Walk) first(q *questions, o Operation, s *Said) {
	s.Name = q.line("name", ask.ThingName, false)
	s.Kind = q.kind(o.State)
	s.Location = q.line("location", ask.ThingLocation, true)
}

func (w *Walk) again(q *questions, o Operation, s *Said) {
	var names []string
	for _, d := range o.Zone.Detectors {
		names = append(names, d.Name)
	}
	choice := ask.LearningChoice(q.choose("which",
		ask.ThingAgain{Address: o.Address, Zone: o.Zone.Name, Detectors: names},
		ask.SameChoice, ask.FurtherChoice, ask.OtherKind, ask.AllChoice))
	switch choice {
	case ask.SameChoice:
		s.What = Same
		return
	case ask.AllChoice:
		s.What = Complete
		return
	}
	s.What, s.Kind = Detector, o.Zone.Kind
	s.Name = q.line("name", ask.ThingName, false)
	if choice == ask.OtherKind {
		s.Kind = q.kind(o.State)
	}
	s.Location = q.line("location", ask.ThingLocation, true)
	if len(names) == 1 && w.Learner.site.ZoneAt(o.Address) == nil {
		s.Zone = q.line("zone", ask.ZoneOfSeveral, true)
	}
}

// wayBack is the word that leads to the question before.
const wayBack = string(ask.BackChoice)

var errBack = errors.New("back to the question before")

// questions are those about one thing. What was answered before a way back is not asked
// for again.
type questions struct {
	ctx      context.Context
	operator ask.Operator
	id       string
	shows    record.About // on a photograph
	answers  []string
	next     int
	err      error
}

func (q *questions) begin() { q.next, q.err = 0, nil }

func (q *questions) ask(question ask.Question) string {
	switch {
	case q.err != nil:
		return ""
	case q.next < len(q.answers):
		q.next++
		return q.answers[q.next-1]
	}
	question.Shows = q.shows
	answer, err := q.operator.Ask(q.ctx, question)
	if err == nil && answer.Text == wayBack {
		err = errBack
	}
	if err != nil {
		q.err = err
		return ""
	}
	q.answers = append(q.answers, answer.Text)
	q.next++
	return answer.Text
}

func (q *questions) line(what string, matter ask.LearningMatter, optional bool) string {
	question := ask.Question{ID: q.id + "/" + what, What: matter, Takes: ask.Line{}, Optional: optional, WayBack: wayBack}
	if matter == ask.ThingName {
		question.Help = ask.FindAdvice
	}
	return q.ask(question)
}

func (q *questions) choose(what string, of ask.Phrase, choices ...ask.LearningChoice) string {
	var options []ask.Option
	for _, c := range append(choices, ask.BackChoice) {
		options = append(options, ask.Option{Word: string(c), Label: c})
	}
	return q.ask(ask.Question{ID: q.id + "/" + what, What: of, Takes: ask.OneOf{Options: options}})
}

// kind asks what it is; what reported tamper is a tamper contact as a rule, which stands
// first then.
func (q *questions) kind(state signal.State) site.DetectorKind {
	var options []ask.Option
	for _, k := range site.Kinds {
		option := ask.Option{Word: k, Label: site.DetectorKind(k)}
		if site.DetectorKind(k).Tamper() && state == signal.Tamper {
			options = append([]ask.Option{option}, options...)
			continue
		}
		options = append(options, option)
	}
	options = append(options, ask.Option{Word: wayBack, Label: ask.BackChoice})
	return site.DetectorKind(q.ask(ask.Question{ID: q.id + "/kind", What: ask.ThingKind,
		Takes: ask.OneOf{Options: options}}))
}

// inbox is what came and waits to be taken. It implements signal.Receiver.
type inbox struct {
	mu      sync.Mutex
	came    []any
	changed chan struct{}
	sees    func(came any) // at once, whatever is asked; it must not wait
}

// mostWaiting bounds what waits while a question stands; only states count, so that what
// is dropped beyond is told again by the controller, or not at all.
const mostWaiting = 100_000

func (i *inbox) Signal(s signal.Signal)         { i.put(s) }
func (i *inbox) Connection(c signal.Connection) { i.put(c) }

func (i *inbox) put(came any) {
	i.mu.Lock()
	if len(i.came) < mostWaiting {
		i.came = append(i.came, came)
	}
	i.mu.Unlock()
	if i.sees != nil {
		i.sees(came)
	}
	select {
	case i.changed <- struct{}{}:
	default:
	}
}

func (i *inbox) empty() []any {
	i.mu.Lock()
	defer i.mu.Unlock()
	came := i.came
	i.came = nil
	return came
}
