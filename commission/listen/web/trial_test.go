package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

const oneDoor = `
reference: MQ-9
premises: {name: Glaze Works, address: 3 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z1, detectors: [Door contact]}
`

// building does something after each cue: the first is to operate, the second to restore.
type building struct {
	mu   sync.Mutex
	cues int
	does func(cue int)
	all  sync.WaitGroup
}

func (b *building) Took(_ time.Time, f record.Fact) {
	if _, is := f.(record.Cue); is {
		b.mu.Lock()
		b.cues++
		n := b.cues
		b.mu.Unlock()
		b.all.Go(func() { b.does(n) })
	}
}

// walks runs a visit of one detector, and returns what came of it and its journal.
func walks(
	t *testing.T,
	source signal.Source,
	does func(cue int),
) (judge.DetectorLine, *record.Record, []journal.Entry) {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(oneDoor))
	require.NoError(t, err)
	answers, err := scripted.Read("answers.yaml", []byte("answers:\n  - {when: walk/1.1/not-proved, say: as it is}\n"+
		"  - {when: walk/1.1/ready, say: [ready, skip]}\n  - {when: walk/1.1/reason, say: no line}\n"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	b := &building{does: does}
	v, err := visit.Start(visit.Config{Operator: scripted.New(answers, clock.Real{}, &bytes.Buffer{}, words.English{}),
		Source: source, Clock: clock.Real{}, Tool: "test", Readers: []visit.Reader{b}}, path,
		record.Opened{Visit: programme.Handover, Number: "MQ-9/1", SiteName: "site.yaml", Site: string(s.Raw),
			Programme: []programme.Step{{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector,
				Point: "1.1", Zone: 1}}})
	require.NoError(t, err)
	require.NoError(t, v.Run(t.Context()))
	b.all.Wait()
	require.NoError(t, v.Close())
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	folded, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	assert.Equal(t, v.Record(), folded)
	for _, b := range folded.Breaches() { // the visit has one step, and its answers are scripted
		assert.Contains(t, []record.Law{record.LawChecklist, record.LawReady}, b.Law)
	}
	return judge.Assess(folded).Detectors()[0], folded, contents.Entries
}

// piping is a hook without a network.
type piping struct {
	*Hook
	pipes *pipes
}

func (p *piping) Start(_ context.Context, to signal.Receiver) error { return p.Serve(p.pipes, to) }

func (p *piping) dial() net.Conn {
	ours, theirs := net.Pipe()
	p.pipes.conns <- theirs
	return ours
}

// A detector that reports by web hook is timed by the first byte, whatever its sender does besides; and each
// good answer means that the journal has it.
func TestTrialsOverWebHooks(t *testing.T) {
	const open, shut = `{"state":"open"}`, `{"state":"closed"}`
	const at = 420 * time.Millisecond
	type sent struct {
		after time.Duration
		text  string
	}
	call := func(id int, body string) string {
		return request1("/json/1", body, fmt.Sprintf("X-Delivery: %d", id))
	}
	for name, tc := range map[string]struct {
		before   string // what was said before any cue
		operate  []sent
		verdict  record.Verdict
		response time.Duration
		live     int // signals in the journal
		again    int // and repetitions
	}{
		"at once":            {"", []sent{{at, call(1, open)}}, record.Proved, at, 2, 0},
		"a slow body":        {"", []sent{{at, call(1, open)[:150]}, {300 * time.Millisecond, call(1, open)[150:]}}, record.Proved, at, 2, 0},
		"too slow a body":    {"", []sent{{at, call(1, open)[:150]}, {time.Second, call(1, open)[150:]}}, record.Proved, at + time.Second, 2, 0},
		"said twice":         {"", []sent{{at, call(1, open)}, {100, call(1, open)}}, record.Proved, at, 2, 1},
		"of before":          {call(1, open) + call(2, shut), []sent{{at, call(1, open)}}, record.Silent, 0, 2, 1},
		"of before, later":   {call(1, open) + call(2, shut), []sent{{at, call(1, open)}, {at, call(3, open)}}, record.Proved, 2 * at, 4, 1},
		"of before, between": {call(1, open) + call(2, shut) + call(1, open), []sent{{at, call(3, open)}}, record.Proved, at, 4, 1},
		"late":               {"", []sent{{9 * time.Second, call(1, open)}}, record.Late, 9 * time.Second, 2, 0},
		"another address":    {"", []sent{{at, request1("/json/2", open)}}, record.Silent, 0, 1, 0},
		"not understood":     {"", []sent{{at, call(1, `{"state":"ajar"}`)}}, record.Silent, 0, 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c := hookConfig()
				c.ID, c.System = "X-Delivery", nil
				p := &piping{NewHook(c, clock.Real{}), &pipes{conns: make(chan net.Conn), over: make(chan struct{})}}
				say := func(pieces ...sent) {
					time.Sleep(pieces[0].after)
					conn := p.dial()
					defer func() { _ = conn.Close() }()
					go func() { _, _ = io.Copy(io.Discard, conn) }()
					for i, piece := range pieces {
						if i > 0 {
							time.Sleep(piece.after)
						}
						_, _ = io.WriteString(conn, piece.text)
					}
					time.Sleep(time.Second)
				}
				line, r, entries := walks(t, &beforehand{p, func() { say(sent{0, tc.before}) }}, func(cue int) {
					if cue == 1 {
						say(tc.operate...)
						return
					}
					say(sent{at, call(100, shut)})
				})
				assert.Equal(t, tc.verdict, line.Verdict)
				assert.Equal(t, tc.response, line.Operated.Response)
				assert.Equal(t, signal.OverHook, r.Listening().Way)
				live, again := 0, 0
				for _, e := range entries {
					switch {
					case e.Kind != "signal":
					case strings.Contains(string(e.Body), `"kept":"again"`):
						again++
					default:
						live++
					}
				}
				assert.Equal(t, [2]int{tc.live, tc.again}, [2]int{live, again})
			})
		})
	}
}

// beforehand lets something be said once the source has started.
type beforehand struct {
	*piping
	say func()
}

func (b *beforehand) Start(ctx context.Context, to signal.Receiver) error {
	err := b.piping.Start(ctx, to)
	b.say()
	return err
}

// A controller that is asked shows what it reports with its next answer; while it does not answer, no trial
// counts.
func TestTrialsByPolling(t *testing.T) {
	for name, tc := range map[string]struct {
		opens, lostFor time.Duration
		verdict        record.Verdict
		most           time.Duration
		outages        int
	}{
		"seen at the next question": {420 * time.Millisecond, 0, record.Proved, 1420 * time.Millisecond, 0},
		"lost meanwhile":            {420 * time.Millisecond, 5 * time.Second, record.NotTested, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c := pollConfig()
				c.System, c.Signals = nil, c.Signals[:1]
				p, err := NewPoll(c, clock.Real{})
				require.NoError(t, err)
				door := &doorAnswers{state: "closed"}
				p.client = &http.Client{Transport: door}
				line, r, _ := walks(t, p, func(cue int) {
					time.Sleep(tc.opens)
					if door.set(map[int]string{1: "open", 2: "closed"}[cue], tc.lostFor > 0); tc.lostFor > 0 {
						time.Sleep(tc.lostFor)
						door.set("closed", false)
					}
				})
				assert.Equal(t, tc.verdict, line.Verdict)
				assert.GreaterOrEqual(t, line.Operated.Response, min(tc.most, tc.opens))
				assert.LessOrEqual(t, line.Operated.Response, tc.most)
				assert.Len(t, r.Outages(), tc.outages)
				assert.Equal(t, int64(2050*time.Millisecond), r.Listening().UncertaintyNS)
			})
		})
	}
}

// doorAnswers is a controller of one door.
type doorAnswers struct {
	mu    sync.Mutex
	state string
	lost  bool
}

func (d *doorAnswers) set(state string, lost bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.state, d.lost = state, lost
}

func (d *doorAnswers) RoundTrip(r *http.Request) (*http.Response, error) {
	d.mu.Lock()
	body, lost := states(d.state, "closed", "good"), d.lost
	d.mu.Unlock()
	one := &answering{answers: []given{{body: body}}}
	if lost {
		one.answers[0].status = http.StatusBadGateway
	}
	return one.RoundTrip(r)
}
