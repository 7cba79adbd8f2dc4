// Package scripted answers a visit from a file, for unattended bench runs and
// tests:
//
//	answers:
//	  - when: inspection/*            # the question's name; * stands for anything
//	    say: done
//	  - when: walk/3.2/not-proved
//	    say: [again, as it is]        # one after the other; the last repeats
//	  - when: supply/*/voltage
//	    say: as shown                 # what the simulated voltmeter shows
//	  - when: outputs/*/heard
//	    say: heard
//	    after: 800 ms                 # keys of a wait, counted from its beginning
//
// The first entry that fits counts. A question that none fits ends the run and
// is named; a wait that none fits is waited for; a list that none fits is taken one by one.
package scripted

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/words"
)

// asShown stands for what a simulated instrument shows.
const asShown = "as shown"

// Answers is a file of answers. The same Answers serve one run.
type Answers struct {
	entries []*entry
}

type entry struct {
	when  string
	say   []string
	after time.Duration
	used  int
}

// Read reads a file of answers; all that is wrong is one *strictyaml.Problems.
func Read(name string, data []byte) (*Answers, error) {
	r, top, err := strictyaml.Parse(name, data, false, "answers")
	if err != nil {
		return nil, err
	}
	a := &Answers{}
	items := top.List("answers")
	if len(items) == 0 {
		r.Problem(top.Where("answers"), "the file has no answers", "answers: with when and say")
	}
	for _, item := range items {
		f := r.Fields(item, "answer", "when", "say", "after")
		e := &entry{when: f.Need("when", "the name of a question, * for anything")}
		for _, node := range f.List("say") {
			e.say = append(e.say, r.Scalar(node, "an answer"))
		}
		if text := f.Text("after"); text != "" {
			q, err := checks.Time.Parse(text)
			if err != nil {
				r.Problem(f.Node("after"), err.Error(), "")
			}
			e.after = q.Duration()
		}
		a.entries = append(a.entries, e)
	}
	return a, r.Err()
}

func (a *Answers) find(id string) *entry {
	for _, e := range a.entries {
		if fits(e.when, id) {
			return e
		}
	}
	return nil
}

// next is the answer to give now; "" when the entry says nothing.
func (e *entry) next() string {
	if len(e.say) == 0 {
		return ""
	}
	say := e.say[min(e.used, len(e.say)-1)]
	e.used++
	return say
}

// fits matches a name against a pattern in which * stands for any text.
func fits(pattern, name string) bool {
	first, rest, star := strings.Cut(pattern, "*")
	if !star {
		return pattern == name
	}
	if !strings.HasPrefix(name, first) {
		return false
	}
	for i := len(first); i <= len(name); i++ {
		if fits(rest, name[i:]) {
			return true
		}
	}
	return false
}

// Operator answers from a file and prints what it is told.
type Operator struct {
	answers *Answers
	asked   map[string]int // how often each question was asked
	clock   clock.Clock
	out     io.Writer
	say     words.Language
	stuck   string // the wait that nothing can end
}

// New makes an operator. Keys are pressed by the clock; what is told is printed in a
// language.
func New(a *Answers, c clock.Clock, out io.Writer, language words.Language) *Operator {
	return &Operator{answers: a, asked: map[string]int{}, clock: c, out: out, say: language}
}

// Tell prints notices.
func (o *Operator) Tell(notices ...ask.Notice) {
	for _, n := range notices {
		o.print(typed.Lines(o.say, n)...)
	}
}

func (o *Operator) print(lines ...string) {
	for _, l := range lines {
		fmt.Fprintln(o.out, screen.Clean(l))
	}
}

// Ask gives the answer of the first entry that fits. None, or one that the
// question does not take: an error that wraps ask.ErrUnanswered.
func (o *Operator) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if err := o.repeated(ctx, q.ID); err != nil {
		return ask.Answer{}, err
	}
	e := o.answers.find(q.ID)
	_, list := q.Takes.(ask.Items)
	switch {
	case e == nil && q.Optional:
		return ask.Answer{}, nil // nobody has to answer it
	case e == nil && list:
		return ask.Answer{Text: ask.ItemsEach}, nil
	case e == nil:
		return ask.Answer{}, fmt.Errorf("%w: %s (%s)", ask.ErrUnanswered, q.ID, o.say.Say(q.What))
	}
	say := e.next()
	told := say
	if say == asShown && q.Shown != "" {
		say, told = q.Shown, o.say.Say(words.Measured(q.Shown))
	}
	answer, err := typed.InCodes(q, say)
	if err != nil {
		return ask.Answer{}, fmt.Errorf("%w: %s was answered %q: %w", ask.ErrUnanswered, q.ID, say, err)
	}
	for _, p := range q.About {
		answer.Shown = append(answer.Shown, o.say.Say(p))
		o.print("   " + o.say.Say(p))
	}
	o.print("   " + o.say.Say(q.What) + ": " + told)
	return answer, nil
}

// tooOften is how often one question may be asked: answers that go round in a
// circle must not run for ever.
const tooOften = 50

func (o *Operator) repeated(ctx context.Context, id string) error {
	o.asked[id]++
	if o.asked[id] > tooOften {
		return fmt.Errorf(
			"%w: %s was asked more than %d times; these answers go round in a circle",
			ask.ErrUnanswered,
			id,
			tooOften,
		)
	}
	return ctx.Err()
}

// Watch presses the key of the first entry that fits, or none.
func (o *Operator) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if err := o.repeated(ctx, w.ID); err != nil {
		return nil, err
	}
	watching := &watching{o: o, id: w.ID, keys: make(chan ask.Pressed, 1)}
	key, after := w.Unattended, time.Duration(0)
	if e := o.answers.find(w.ID); e != nil {
		key, after = ask.Key(e.next()), e.after
	}
	if key == "" {
		return watching, nil
	}
	if !slices.Contains(w.Keys, key) {
		return nil, fmt.Errorf("%w: %s has no key %q; it has: %s", ask.ErrUnanswered, w.ID, key, keysOf(w))
	}
	watching.stop = o.clock.AfterFunc(after, func() { watching.keys <- ask.Pressed{Key: key} })
	return watching, nil
}

func keysOf(w ask.Watch) string {
	var all []string
	for _, key := range w.Keys {
		all = append(all, string(key))
	}
	return strings.Join(all, ", ")
}

type watching struct {
	o    *Operator
	id   string
	keys chan ask.Pressed
	stop func()
}

func (w *watching) Pressed() <-chan ask.Pressed { return w.keys }
func (w *watching) Say(n ask.Notice)            { w.o.Tell(n) }

// Status is told only while time does not pass. In simulated time that is for ever, as
// nothing is left to come: the technician goes.
func (w *watching) Status(ask.Phrase) {
	if _, is := w.o.clock.(*clock.Simulated); !is || w.o.stuck != "" {
		return
	}
	w.o.stuck = w.id
	w.o.print("   " + w.o.Stuck().Error())
	w.keys <- ask.Pressed{Key: ask.Gone}
}

// Stuck names the wait that no answer ends, in simulated time, with an error that wraps
// ask.ErrUnanswered; nil if there was none.
func (o *Operator) Stuck() error {
	if o.stuck == "" {
		return nil
	}
	return fmt.Errorf("%w: %s", ask.ErrUnanswered, o.stuck)
}

func (w *watching) Close() {
	if w.stop != nil {
		w.stop()
	}
}
