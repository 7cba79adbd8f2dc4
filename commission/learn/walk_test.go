package learn

import (
	"bytes"
	"context"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// timeline is a source that reports at its times: "2s z1 active".
type timeline string

func (timeline) About() signal.Listening { return signal.Listening{Way: signal.OverMQTT} }
func (timeline) Close() error            { return nil }

func (l timeline) Start(_ context.Context, to signal.Receiver) error {
	for line := range strings.Lines(string(l)) {
		words := strings.Fields(line)
		after, err := time.ParseDuration(words[0])
		if err != nil {
			return err
		}
		time.AfterFunc(after, func() {
			switch {
			case words[1] == "up", words[1] == "down":
				ear := signal.Way(strings.Join(words[2:], ""))
				to.Connection(signal.Connection{Up: words[1] == "up", Ear: ear})
			case words[2] == "garbled":
				to.Signal(signal.Signal{At: time.Now(), Address: words[1], State: signal.NotUnderstood, Raw: `"ajar"`})
			default:
				to.Signal(signal.Signal{At: time.Now(), Address: words[1], State: signal.State(words[2])})
			}
		})
	}
	return nil
}

// slow is a technician who needs five seconds for each answer.
type slow struct{ ask.Operator }

func (s slow) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	time.Sleep(5 * time.Second)
	return s.Operator.Ask(ctx, q)
}

// walked runs a walk in fake time.
func walked(
	t *testing.T,
	s *site.Site,
	source timeline,
	answers string,
) (told string, l *Learner, kept []Said, err error) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		a, failed := scripted.Read("answers.yaml", []byte(answers))
		require.NoError(t, failed)
		var out bytes.Buffer
		l = New(s, nil)
		w := Walk{Operator: slow{scripted.New(a, clock.Real{}, &out, words.English{})}, Source: source,
			Clock: clock.Real{}, Learner: l, Keep: func(said []Said) error { kept = said; return nil }}
		require.NoError(t, w.Listen(t.Context()))
		err = w.Run(t.Context())
		told = out.String()
		time.Sleep(time.Hour) // whatever is still to come comes within the test
	})
	return told, l, kept, err
}

// Each of several ears is lost and comes back by its own name.
func TestWalkWithSeveralEars(t *testing.T) {
	told, _, _, err := walked(t, knownSite(t), `1s down mqtt
2s down poll
3s down poll
4s up mqtt
5s up poll
`, "answers:\n  - {when: learn/walk, say: finish, after: 10s}\n")
	require.NoError(t, err)
	for _, line := range []string{"NOT CONNECTED: MQTT", "NOT CONNECTED: polling", "Connected again: MQTT",
		"Connected again: polling"} {
		assert.Equal(t, 1, strings.Count(told, line), "%q in\n%s", line, told)
	}
	p := present{renewed: make(chan struct{}, 1)}
	p.sees(signal.Connection{Ear: signal.ByPolling})
	p.sees(signal.Connection{Ear: signal.OverMQTT})
	p.sees(signal.Connection{Up: true, Ear: signal.OverMQTT})
	assert.Equal(t, []signal.Way{signal.ByPolling}, p.now().Deaf)
	assert.False(t, p.now().Connected)
}

// What reports is shown at once and asked about; while that lasts, what else is opened
// waits for its turn, and who walks past a motion detector is not asked about it.
func TestWalk(t *testing.T) {
	told, l, kept, err := walked(t, knownSite(t), `1s z7 active
3s z8 active
4s z4 active
5s z8 restored
6s z7 restored
60s z8 active
63s z8 restored
120s z3 active
150s z3 restored
160s z3 active
170s z3 restored
175s z3 active
121s z9 garbled
180s z7 garbled
181s z7 garbled
190s down
190s down
191s up
`, `answers:
  - {when: learn/z7/name, say: [wrong, Shop door]}
  - {when: learn/z7/kind, say: [back, door]}
  - {when: learn/z7/location, say: front}
  - {when: learn/z8/name, say: Left}
  - {when: learn/z8/kind, say: window}
  - {when: learn/z8/2/which, say: further}
  - {when: learn/z8/2/name, say: Right}
  - {when: learn/z8/2/zone, say: Shop windows}
  - {when: learn/z3/2/which, say: [same, all]}
  - {when: learn/walk, say: finish, after: 100s}
`)
	require.NoError(t, err)
	assert.Equal(t, []Said{
		{What: Detector, Address: "z7", Name: "Shop door", Kind: "door", Location: "front"},
		{What: Detector, Address: "z8", Name: "Left", Kind: "window"},
		{What: Detector, Address: "z8", Name: "Right", Zone: "Shop windows", Kind: "window"},
		{What: Same, Address: "z3"},
		{What: Complete, Address: "z3"},
	}, kept)
	assert.Equal(t, kept, l.Said())
	for _, line := range []string{"z7 reports active\n", "   z7 is Shop door, door\n",
		"   z3 reports: Windows\n", "   z9 says “ajar”", "   z8 is Right, window, on Shop windows\n", "z8 reports again: Left, which has Left: further\n",
		"   z7 says “ajar”, which controller.yaml does not know\n", "NOT CONNECTED", "connected again"} {
		assert.Equal(t, 1, strings.Count(told, line), "%q in\n%s", line, told)
	}
	assert.NotContains(t, told, "z4", "motion, while a question stood")
}

// The last thing is taken back by a key, and one that was opened by mistake by the word.
func TestTakingBack(t *testing.T) {
	told, l, kept, err := walked(t, nil, "1s z7 active\n100s z8 active\n", `answers:
  - {when: learn/z7/name, say: Door}
  - {when: learn/z7/kind, say: door}
  - {when: learn/z8/name, say: back}
  - {when: learn/walk, say: [forget, forget, forget, forget, finish], after: 30s}
`)
	require.NoError(t, err)
	assert.Empty(t, kept)
	assert.Empty(t, l.Zones())
	assert.Contains(t, told, "taken back: Door; open it again")
	assert.Contains(t, told, "nothing was learnt yet")
}

// A way back leads one question back, and what was answered before it stays; a further
// detector may be of another kind, a lid first of all where tamper was reported. The name of
// a zone that a file has is not asked for.
func TestOneQuestionBack(t *testing.T) {
	told, _, kept, err := walked(t, knownSite(t), "1s z7 active\n100s z3 tamper\n200s z3 restored\n210s z3 active\n",
		`answers:
  - {when: learn/z7/name, say: [Door, "asked again"]}
  - {when: learn/z7/kind, say: [door, window]}
  - {when: learn/z7/location, say: [back, front]}
  - {when: learn/z3/2/which, say: other}
  - {when: learn/z3/2/name, say: Lid}
  - {when: learn/z3/2/kind, say: tamper}
  - {when: learn/z3/3/which, say: back}
  - {when: learn/walk, say: finish, after: 300s}
`)
	require.NoError(t, err)
	assert.Equal(t, []Said{{What: Detector, Address: "z7", Name: "Door", Kind: "window", Location: "front"},
		{What: Detector, Address: "z3", Name: "Lid", Kind: "tamper"}}, kept)
	assert.Contains(t, told, "z3 is Lid, tamper, on Windows")
	assert.Contains(t, told, "which has Left, Lid: back")
}

// What is likely stands first among the kinds, and the help beside the name only.
func TestKindsAndHelp(t *testing.T) {
	asked := func(state signal.State) (first string, help []ask.Phrase) {
		p := &recorder{}
		w := Walk{Operator: p, Learner: New(nil, nil)}
		_, err := w.ask(t.Context(), Operation{Address: "z1", State: state})
		require.NoError(t, err)
		require.Len(t, p.asked, 3)
		options := p.asked[1].Takes.(ask.OneOf).Options
		assert.Len(t, options, len(site.Kinds)+1)
		assert.Equal(t, "back", options[len(options)-1].Word)
		for _, q := range p.asked {
			help = append(help, q.Help)
		}
		return options[0].Word, help
	}
	first, help := asked(signal.Active)
	assert.Equal(t, "door", first)
	assert.Equal(t, []ask.Phrase{ask.FindAdvice, nil, nil}, help)
	first, _ = asked(signal.Tamper)
	assert.Equal(t, "tamper", first)
}

// Of a further detector it is asked which, its name and its place; and once, of a zone that
// was learnt, a name for it as a whole.
func TestQuestionsOfAFurtherDetector(t *testing.T) {
	one := []Said{{What: Detector, Address: "z1", Name: "Left", Kind: "window"}}
	two := append(slices.Clone(one), Said{What: Detector, Address: "z1", Name: "Right", Kind: "window"})
	for _, tc := range []struct {
		learner *Learner
		address string
		want    []string
	}{
		{New(nil, one), "z1", []string{"learn/z1/2/which", "learn/z1/2/name", "learn/z1/2/location", "learn/z1/2/zone"}},
		{New(nil, two), "z1", []string{"learn/z1/3/which", "learn/z1/3/name", "learn/z1/3/location"}},
		{New(knownSite(t), nil), "z3", []string{"learn/z3/2/which", "learn/z3/2/name", "learn/z3/2/location"}},
	} {
		p := &recorder{}
		w := Walk{Operator: p, Learner: tc.learner}
		said, err := w.ask(t.Context(), Operation{Address: tc.address, Zone: tc.learner.zoneAt(tc.address)})
		require.NoError(t, err)
		var ids []string
		for _, q := range p.asked {
			ids = append(ids, q.ID)
			assert.Equal(t, strings.HasSuffix(q.ID, "/location") || strings.HasSuffix(q.ID, "/zone"), q.Optional, q.ID)
		}
		assert.Equal(t, tc.want, ids)
		assert.Equal(t, Said{What: Detector, Address: tc.address, Name: "door", Zone: said.Zone, Kind: "window",
			Location: "door"}, said)
	}
}

// recorder keeps the questions that it is asked, and answers each.
type recorder struct {
	asked []ask.Question
	ask.Operator
}

func (r *recorder) Tell(...ask.Notice) {}

func (r *recorder) Ask(_ context.Context, q ask.Question) (ask.Answer, error) {
	r.asked = append(r.asked, q)
	if strings.HasSuffix(q.ID, "/which") {
		return ask.Answer{Text: string(ask.FurtherChoice)}, nil
	}
	return ask.Answer{Text: "door"}, nil
}

// Whatever ends a wait that nobody can go on with is a pause; so much waits while a question
// stands, and no more.
func TestPauses(t *testing.T) {
	for _, k := range []ask.Key{ask.Interrupted, ask.Gone} {
		_, err := key(ask.Pressed{Key: k}, true)
		assert.ErrorIs(t, err, ask.ErrPaused)
	}
	_, err := key(ask.Pressed{}, false)
	assert.ErrorIs(t, err, ask.ErrPaused)
	pressed, err := key(ask.Pressed{Key: ask.Finish}, true)
	require.NoError(t, err)
	assert.Equal(t, ask.Finish, pressed)

	synctest.Test(t, func(t *testing.T) {
		a, err := scripted.Read("answers.yaml", []byte("answers: [{when: none, say: none}]"))
		require.NoError(t, err)
		w := Walk{Operator: scripted.New(a, clock.Real{}, &bytes.Buffer{}, words.English{}), Source: timeline(""),
			Clock: clock.Real{}, Learner: New(nil, nil)}
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		require.NoError(t, w.Listen(ctx))
		assert.ErrorIs(t, w.Run(ctx), context.DeadlineExceeded)
	})

	i := inbox{changed: make(chan struct{}, 1)}
	for range mostWaiting + 5 {
		i.Signal(signal.Signal{})
	}
	assert.Len(t, i.empty(), mostWaiting)
	assert.Empty(t, i.empty())
}

// A break in the middle of a question keeps what was said before it; that nothing ever
// came is told after a while, once, and at the end.
func TestBreaksAndSilence(t *testing.T) {
	_, l, kept, err := walked(t, nil, "1s z7 active\n30s z8 active\n",
		"answers: [{when: learn/z7/name, say: Door}, {when: learn/z7/kind, say: door}]\n")
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.Equal(t, []Said{{What: Detector, Address: "z7", Name: "Door", Kind: "door"}}, kept)
	assert.Equal(t, kept, l.Said())

	told, _, _, err := walked(t, nil, "", "answers: [{when: learn/walk, say: finish, after: 100s}]\n")
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(told, "not one message ever came"), told)
	assert.Contains(t, told, "In 30 s not one")
	assert.Contains(t, told, "In 1 min 40 s not one")
	told, _, _, err = walked(t, nil, "", "answers: [{when: learn/walk, say: [forget, forget, finish], after: 40s}]\n")
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(told, "not one message ever came"), "once in all waits, and at the end: %s", told)
	told, _, _, err = walked(t, nil, "5s z1 restored\n", "answers: [{when: learn/walk, say: finish, after: 100s}]\n")
	require.NoError(t, err)
	assert.NotContains(t, told, "not one message")
}

// What cannot be kept ends the walk.
func TestADraftThatCannotBeKept(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a, err := scripted.Read("answers.yaml", []byte("answers: [{when: '*/name', say: n}, {when: '*/kind', say: door}]"))
		require.NoError(t, err)
		full := errors.New("the disk is full")
		w := Walk{
			Operator: scripted.New(a, clock.Real{}, &bytes.Buffer{}, words.English{}),
			Source:   timeline("1s z7 active\n"),
			Clock:    clock.Real{},
			Learner:  New(nil, nil),
			Keep:     func([]Said) error { return full },
		}
		require.NoError(t, w.Listen(t.Context()))
		assert.ErrorIs(t, w.Run(t.Context()), full)
	})
}

// The demonstration's building, walked through from end to end: every address is learnt,
// with as many detectors as it has.
func TestLearningTheDemonstration(t *testing.T) {
	raw, err := os.ReadFile("../../cmd/loopwitness/demo/site.yaml")
	require.NoError(t, err)
	s, err := site.Read("site.yaml", raw)
	require.NoError(t, err)
	c := clock.NewSimulated(begin)
	building, err := simulated.New(s, c, simulated.Options{})
	require.NoError(t, err)
	a, err := scripted.Read("answers.yaml", []byte(`answers:
  - {when: "learn/*/name", say: thing}
  - {when: "learn/*/kind", say: window}
  - {when: "learn/*/which", say: further}
  - {when: learn/walk, say: finish, after: 60s}
`))
	require.NoError(t, err)
	l := New(nil, nil)
	w := Walk{Operator: scripted.New(a, c, &bytes.Buffer{}, words.English{}), Source: building, Clock: c, Learner: l,
		Keep: func([]Said) error { return nil }}
	require.NoError(t, w.Listen(t.Context()))
	require.NoError(t, w.Run(t.Context()))
	want, got := map[string]int{}, map[string]int{}
	for _, z := range s.Zones {
		want[z.Address] = len(z.Detectors)
	}
	for _, z := range l.Zones() {
		got[z.Address] = len(z.Detectors)
	}
	assert.Equal(t, want, got)
}
