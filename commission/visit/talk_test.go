package visit

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

var update = flag.Bool("update", false, "rewrite the talks in testdata; read the difference")

// A talk is a visit from its first word to its last, as values and with the instant of
// each: what is told, asked and answered, what the controller is told to do, and what is
// written. testdata/README.md says how one is written down.
func TestTalks(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			require.NoError(t, err)
			said := ""
			synctest.Test(t, func(t *testing.T) { said = newTalk(t, archive).hold(t) })
			part := partOf(archive, "talk")
			if *update {
				part.Data = []byte(said)
				require.NoError(t, os.WriteFile(file, txtar.Format(archive), 0o644))
			}
			assert.Equal(t, strings.Split(string(part.Data), "\n"), strings.Split(said, "\n"))
		})
	}
}

// partOf is a section of an archive, made where it is missing.
func partOf(a *txtar.Archive, name string) *txtar.File {
	for i := range a.Files {
		if a.Files[i].Name == name {
			return &a.Files[i]
		}
	}
	a.Files = append(a.Files, txtar.File{Name: name})
	return &a.Files[len(a.Files)-1]
}

// textOf is what a section says, "" where there is none.
func textOf(a *txtar.Archive, name string) string {
	for _, f := range a.Files {
		if f.Name == name {
			return string(f.Data)
		}
	}
	return ""
}

// talk notes what is said in a visit, and plays what happens meanwhile.
type talk struct {
	archive *txtar.Archive
	with    map[string]bool
	events  map[string][]string // by what they begin with, one after the other
	began   time.Time
	stop    func()

	switched string // the last command, if nothing else was noted since
	times    int    // that it came again

	mu     sync.Mutex
	said   strings.Builder
	status string            // of the watch, not yet noted
	before map[string]string // what stood in a question or watch when it was last noted
	to     signal.Receiver
	refuse int           // so many commands fail
	hang   int           // so many commands are not answered
	lost   []func(error) // of the guards
	fault  bool
}

func newTalk(t *testing.T, a *txtar.Archive) *talk {
	k := &talk{archive: a, with: map[string]bool{}, events: map[string][]string{}, began: time.Now(),
		before: map[string]string{}}
	for _, line := range strings.Split(string(a.Comment), "\n") {
		if options, is := strings.CutPrefix(line, "with: "); is {
			for _, o := range strings.Fields(options) {
				k.with[o] = true
			}
		}
	}
	for _, line := range strings.Split(strings.TrimSpace(textOf(a, "events")), "\n") {
		if at, what, is := strings.Cut(line, ": "); is {
			k.events[at] = append(k.events[at], what)
		}
	}
	return k
}

// hold runs the visit, once for each of its parts with answers, and returns what was
// said. Whatever is folded from the journal is the record of the live visit.
func (k *talk) hold(t *testing.T) string {
	file := filepath.Join(t.TempDir(), "journal.jsonl")
	var sounding []string
	for i, name := range []string{"answers", "answers again", "answers at last"} {
		answers := textOf(k.archive, name)
		if answers == "" {
			break
		}
		ctx, cancel := context.WithCancel(t.Context())
		k.stop = cancel
		v := k.open(t, file, answers, i > 0)
		err := v.Run(ctx)
		cancel()
		require.NoError(t, v.Close())
		k.note("end", failure(err))
		contents, err := journal.ReadFile(file)
		require.NoError(t, err)
		folded, err := record.Fold(contents.Entries)
		require.NoError(t, err)
		assert.Equal(t, v.Record(), folded, "the live record is the folded one")
		breaksNoLaw(t, folded)
		sounding = v.Record().Energised()
		time.Sleep(time.Hour)
	}
	assert.Empty(t, sounding, "nothing sounds in the end")
	return k.said.String()
}

func (k *talk) open(t *testing.T, file, answers string, again bool) *Visit {
	config, opened := k.visit(t, answers)
	if again {
		v, err := Resume(config, file)
		require.NoError(t, err)
		return v
	}
	v, err := Start(config, file, opened)
	require.NoError(t, err)
	return v
}

// visit is what a visit of the talk needs, and its first entry.
func (k *talk) visit(t *testing.T, answers string) (Config, record.Opened) {
	var source signal.Source = k
	if k.with["keys"] {
		source = byHand{k}
	}
	b := newBench(t, source, clock.Real{}, answers)
	b.config.Operator, b.config.Readers = listening{b.config.Operator, k}, []Reader{k}
	text := textOf(k.archive, "site")
	if text == "" {
		text = benchSite
	}
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	opened := openedWith(siteOf(t, text), list)
	var steps []programme.Step
	for _, step := range opened.Programme {
		for _, pattern := range strings.Fields(textOf(k.archive, "steps")) {
			if fits, _ := path.Match(pattern, step.ID); fits {
				steps = append(steps, step)
			}
		}
	}
	opened.Programme = steps
	if earlier := textOf(k.archive, "earlier"); earlier != "" {
		opened = after(t, opened, siteOf(t, text), earlier)
	}
	return b.config, opened
}

// note writes down what is said, with the instant.
func (k *talk) note(kind string, what ...any) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.noteLocked(kind, what...)
}

// noteOnce notes a question or a watch, shortly where it stands as it did before.
func (k *talk) noteOnce(kind, id string, what ...any) {
	k.mu.Lock()
	defer k.mu.Unlock()
	now := fmt.Sprint(what...)
	if k.before[id] == now {
		what = []any{"…"}
	}
	k.before[id] = now
	k.noteLocked(kind, append([]any{id}, what...)...)
}

func (k *talk) noteLocked(kind string, what ...any) {
	text := fmt.Sprintln(what...)
	if kind == "switch" && text == k.switched {
		k.times++
		return
	}
	if k.times > 0 {
		fmt.Fprintf(&k.said, "          switch the same %d times more\n", k.times)
	}
	k.switched, k.times = "", 0
	if kind == "switch" {
		k.switched = text
	}
	line := fmt.Sprintf("%-9v %-6s %s", time.Since(k.began), kind, strings.TrimSuffix(text, "\n"))
	for i, part := range screen.Wrap(line, 100) {
		if i > 0 {
			k.said.WriteString(strings.Repeat(" ", 17))
		}
		k.said.WriteString(strings.TrimRight(part, " ") + "\n")
	}
}

// failure is an error in words that no language changes.
func failure(err error) string {
	switch {
	case err == nil:
		return ""
	case errors.Is(err, ask.ErrUnanswered):
		return ask.ErrUnanswered.Error()
	}
	return err.Error()
}

// value is a phrase with its arguments.
func value(p ask.Phrase) string {
	if p == nil {
		return "-"
	}
	if o, is := p.(ask.Outstanding); is {
		return p.Code() + " " + o.Finding.ID + " " + o.Finding.Code()
	}
	return strings.TrimSuffix(p.Code()+" "+arguments(p), " ")
}

// arguments are the fields of a value in one line; a step and a zone are named.
func arguments(of any) string {
	data, err := json.Marshal(of)
	if err != nil {
		panic(err)
	}
	var fields map[string]any
	if json.Unmarshal(data, &fields) != nil || len(fields) == 0 {
		return "" // its code says all
	}
	return plain(fields)
}

// spans are the fields that are a time in nanoseconds also where it is short.
var spans = map[string]bool{"Since": true, "After": true, "Left": true}

func plain(v any) string {
	switch v := v.(type) {
	case map[string]any:
		if id, is := v["id"]; is && v["stage"] != nil {
			return plain(id)
		}
		if number, is := v["number"]; is {
			return "zone " + plain(number)
		}
		var all []string
		for _, key := range slices.Sorted(maps.Keys(v)) {
			said := plain(v[key])
			if key == "shown" {
				said = "…" // in the words of a language
			}
			if ns, is := v[key].(float64); is && (ns >= 1e6 || spans[key]) {
				said = time.Duration(ns).String()
			}
			all = append(all, key+": "+said)
		}
		return "{" + strings.Join(all, ", ") + "}"
	case []any:
		var all []string
		for _, one := range v {
			all = append(all, plain(one))
		}
		return "[" + strings.Join(all, ", ") + "]"
	case float64:
		return fmt.Sprintf("%.12g", v)
	}
	return strings.ReplaceAll(fmt.Sprint(v), "\n", " ")
}

func values(all []ask.Phrase) string {
	out := ""
	for _, p := range all {
		out += " · " + value(p)
	}
	return out
}

// happen lets come what is to come after the beginning of something, and tells how long
// the last of it takes.
func (k *talk) happen(after string) (lasts time.Duration) {
	k.mu.Lock()
	defer k.mu.Unlock()
	todo := k.events[after]
	if len(todo) == 0 {
		return 0
	}
	k.events[after] = todo[1:]
	for _, event := range strings.Split(todo[0], "; ") {
		at, what, _ := strings.Cut(event, " ")
		in, err := time.ParseDuration(at)
		if err != nil {
			panic(err)
		}
		lasts = max(lasts, in)
		time.AfterFunc(in, func() { k.do(strings.Fields(what)) })
	}
	return lasts
}

func (k *talk) do(what []string) {
	k.mu.Lock()
	to := k.to
	switch what[0] {
	case "refuse":
		_, _ = fmt.Sscan(what[1], &k.refuse)
	case "fault":
		k.fault = true
	case "hang":
		_, _ = fmt.Sscan(what[1], &k.hang)
	}
	unguarded := k.lost
	k.mu.Unlock()
	switch what[0] {
	case "nothing", "refuse", "fault", "hang":
	case "unguarded":
		for _, lost := range unguarded {
			lost(errors.New("hung up"))
		}
	case "stop":
		k.stop()
	case "lost":
		to.Connection(signal.Connection{Why: signal.Broken})
	case "back":
		to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
	case "system": // an aspect, and yes or no
		to.(signal.SystemReceiver).System(signal.System{At: time.Now(), Aspect: signal.Aspect(what[1]),
			Present: what[2] == "yes"})
	case "sampled":
		volt, err := strconv.ParseFloat(what[1], 64)
		if err != nil {
			panic(err)
		}
		to.(signal.Sampler).Sample(signal.Sample{At: time.Now(), Volt: volt})
	case "present", "absent": // of an aspect of the controller itself, kept if a third word says so
		kept := ""
		if len(what) > 2 {
			kept = signal.Retained
		}
		to.(signal.SystemReceiver).System(signal.System{At: time.Now(), Aspect: signal.Aspect(what[1]),
			Present: what[0] == "present", Kept: kept})
	case "kept":
		to.Signal(signal.Signal{At: time.Now(), Address: what[1], State: signal.State(what[2]), Kept: "retained"})
	case "garbled":
		to.Signal(signal.Signal{At: time.Now(), Address: what[1], State: signal.NotUnderstood, Raw: what[2]})
	default:
		to.Signal(signal.Signal{At: time.Now(), Address: what[0], State: signal.State(what[1])})
	}
}

// Took notes what is written, and how long before that it was.
func (k *talk) Took(at time.Time, f record.Fact) {
	if time.Since(at) > time.Minute {
		k.note("again", f.Kind()) // of an earlier run
		return
	}
	said := f.Kind()
	if f.Kind() != "opened" {
		said += " " + arguments(f)
	}
	if ago := time.Since(at); ago != 0 {
		said += fmt.Sprint(" of ", ago, " ago")
	}
	k.note("write", said)
	if cue, is := f.(record.Cue); is {
		k.happen("cue " + cue.Step + "/" + string(cue.Half))
	}
}

func (k *talk) About() signal.Listening {
	about := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, Sampled: k.with["samples"]}
	switch {
	case k.with["practice"]:
		about = signal.Listening{Way: signal.Simulated, TimedBy: signal.BySeed, Simulated: true}
	case k.with["keys"]:
		about = signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, ByHand: true}
	case k.with["tells"]:
		about.Tells = []signal.Aspect{signal.Setting, signal.Set, signal.Entering, signal.Alarm}
	}
	if k.with["tells"] {
		about.Tells = []signal.Aspect{signal.MainsFault, signal.BatteryFault}
	}
	about.UncertaintyNS = record.UncertaintyOf[about.Way].Nanoseconds()
	return about
}

func (k *talk) Start(_ context.Context, to signal.Receiver) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.to = to
	return nil
}

func (k *talk) Close() error { k.note("close", "the controller"); return nil }

func (k *talk) CanEnergise(o *site.Output) bool { return !k.with["no-switch"] }

// GuardOff guards, unless the talk has no guards. It is noted where talks are about it.
func (k *talk) GuardOff(_ context.Context, o *site.Output, lost func(error)) (func(), error) {
	if k.with["no-guard"] {
		return nil, errors.New("nobody there")
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.lost = append(k.lost, lost)
	if !k.with["guards"] {
		return func() {}, nil
	}
	k.noteLocked("guard", o.Name)
	return func() { k.note("let go", o.Name) }, nil
}

func (k *talk) Energise(ctx context.Context, o *site.Output, on bool) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	end, limited := ctx.Deadline()
	k.noteLocked("switch", o.Name, on, "limit", limited, time.Until(end))
	if k.fault {
		k.fault = false
		panic("no such relay")
	}
	if k.refuse > 0 {
		k.refuse--
		return errors.New("not connected")
	}
	if k.hang > 0 {
		k.hang--
		k.mu.Unlock()
		<-ctx.Done()
		k.mu.Lock()
	}
	return ctx.Err()
}

// byHand is a talk in which keys are the signals.
type byHand struct{ *talk }

func (b byHand) Press(at time.Time, address string, state signal.State) {
	b.to.Signal(signal.Signal{At: at, Address: address, State: state, Raw: "key"})
}

// listening notes what a technician is told and asked.
type listening struct {
	ask.Operator
	k *talk
}

func (o listening) Tell(all ...ask.Notice) {
	for _, n := range all {
		o.k.note("tell", value(n))
	}
}

func (o listening) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	var takes bytes.Buffer
	switch t := q.Takes.(type) {
	case ask.OneOf:
		for _, option := range t.Options {
			fmt.Fprintf(&takes, " %s=%s", option.Word, value(option.Label))
		}
	case ask.Quantity:
		fmt.Fprintf(&takes, " %s %s %t", t.In.SI, t.Instead, t.NotNegative)
	case ask.Items:
		for _, i := range t.Of {
			fmt.Fprintf(&takes, " %s=%s:%s%s", i.Word, i.Step, i.Result, i.Remark)
		}
	case ask.Names, ask.YesNo:
		fmt.Fprintf(&takes, " %v", t)
	}
	if q.Optional {
		takes.WriteString(" or nothing")
	}
	if q.Back {
		takes.WriteString(", and back")
	}
	o.k.noteOnce("ask", q.ID, value(q.What), value(q.Help), fmt.Sprintf("%T%s%s", q.Takes, &takes, values(q.About)))
	if lasts := o.k.happen(q.ID); lasts > 0 {
		time.Sleep(lasts + time.Millisecond)
	}
	answer, err := o.Operator.Ask(ctx, q)
	o.k.note("answer", answer.Text, failure(err))
	return answer, err
}

func (o listening) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	keys := fmt.Sprint(w.Keys)
	if w.Unattended != "" {
		keys += " unattended: " + string(w.Unattended)
	}
	if w.Urgent {
		keys += " urgent"
	}
	o.k.noteOnce("watch", w.ID, value(w.Title)+values(w.Lines), keys)
	w.Unattended = ""
	inner, err := o.Operator.Watch(ctx, w)
	o.k.happen(w.ID)
	return &heldOut{inner, o.k}, err
}

type heldOut struct {
	ask.Watching
	k *talk
}

func (w *heldOut) Say(n ask.Notice) { w.k.note("say", value(n)) }

// Status is noted as it was last: how often it is renewed is no fact.
func (w *heldOut) Status(p ask.Phrase) {
	w.k.mu.Lock()
	defer w.k.mu.Unlock()
	if p != nil {
		w.k.status = fmt.Sprint(time.Since(w.k.began), " ", value(p))
	}
}

func (w *heldOut) Close() {
	w.Watching.Close()
	w.k.mu.Lock()
	defer w.k.mu.Unlock()
	w.k.noteLocked("over", w.k.status)
	w.k.status = ""
}
