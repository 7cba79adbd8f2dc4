package visit_test

import (
	"bytes"
	"io"
	"net"
	"net/url"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/kit/testbroker"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// wire carries bytes between us and a broker, but none while it is held.
type wire struct {
	held sync.RWMutex
	at   *url.URL
}

func newWire(t *testing.T, to *url.URL) *wire {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	w := &wire{at: &url.URL{Scheme: "tcp", Host: l.Addr().String()}}
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", to.Host)
			if err != nil {
				_ = near.Close()
				continue
			}
			go w.carry(far, near)
			go w.carry(near, far)
		}
	}()
	return w
}

func (w *wire) carry(to, from net.Conn) {
	_, _ = io.Copy(passing{to, w}, from)
	_, _ = from.Close(), to.Close()
}

type passing struct {
	net.Conn
	wire *wire
}

func (p passing) Write(b []byte) (int, error) {
	p.wire.held.RLock()
	defer p.wire.held.RUnlock()
	return p.Conn.Write(b)
}

// quick is a controller with one detector, which answers every cue within a tenth of a
// second. The first time, the wire is held just before it reports.
type quick struct {
	publish func(state string)
	wire    *wire
	hold    time.Duration
	once    sync.Once
}

func (q *quick) Took(_ time.Time, f record.Fact) {
	const answers = 100 * time.Millisecond
	switch f := f.(type) {
	case record.Cue:
		if f.Half == record.Restore {
			time.AfterFunc(answers, func() { q.publish("closed") })
			return
		}
		q.once.Do(func() {
			q.wire.held.Lock()
			time.AfterFunc(q.hold, q.wire.held.Unlock)
		})
		time.AfterFunc(answers, func() { q.publish("open") })
	case signal.Connection:
		if f.Up {
			time.AfterFunc(answers, func() { q.publish("closed") })
		}
	}
}

// A link that stands still for a while made a working detector late: nobody told.
func TestALinkThatStandsStillMakesNoDetectorLate(t *testing.T) {
	if testing.Short() || outsidetool.Racing {
		t.Skip("takes half a minute of real time")
	}
	at := testbroker.Mosquitto(t)
	for _, hold := range []time.Duration{1200, 2000, 4000, 8000} {
		hold *= time.Millisecond
		t.Run(hold.String(), func(t *testing.T) {
			r := held(t, at, hold)
			require.NotEmpty(t, r.Outcomes())
			s := r.Outcomes()[0]
			assert.Equal(t, 1, s.BrokenOff(), "void")
			require.Len(t, s.Tried(), 1)
			tried := s.Tried()[0]
			assert.Equal(t, record.Proved, tried.Operate.Judge().Verdict)
			assert.Equal(t, record.Proved, tried.Restore.Judge().Verdict)
			require.NotEmpty(t, r.Outages())
			assert.False(t, r.Outages()[0].To.IsZero())
		})
	}
}

// held is a visit of one detector, with a wire that is held for a time.
func held(t *testing.T, at *url.URL, hold time.Duration) *record.Record {
	t.Helper()
	w, client := newWire(t, at), dial(t, at)
	defer client.Disconnect(100)
	q := &quick{wire: w, hold: hold,
		publish: func(state string) { client.Publish("studio/zone/1/state", 1, false, `{"state":"`+state+`"}`) }}
	rule := mqtt.SignalRule{Topic: "studio/zone/+/state", Address: "z{1}", Rule: payload.Rule{Value: "/state",
		States: map[signal.State][]string{signal.Active: {"open"}, signal.Restored: {"closed"}}}}
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	answers, err := scripted.Read("answers.yaml",
		[]byte("answers:\n  - {when: walk/1.1/ready, say: ready, after: 1 s}\n"))
	require.NoError(t, err)
	other := func(s programme.Step) bool { return s.ID != "walk/1.1" }
	var out bytes.Buffer
	v, err := visit.Start(visit.Config{Operator: scripted.New(answers, clock.Real{}, &out, words.English{}),
		Source: mqtt.New(mqtt.Config{Broker: w.at, Signals: []mqtt.SignalRule{rule}}, clock.Real{}),
		Clock:  clock.Real{}, Tool: "test", Readers: []visit.Reader{q}},
		filepath.Join(t.TempDir(), "journal.jsonl"),
		record.Opened{Visit: programme.Handover, Number: "B-1/1", SiteName: "site.yaml", Site: visit.BenchSite,
			Programme: slices.DeleteFunc(programme.Of(s, programme.Checklist{}), other)})
	require.NoError(t, err)
	err = v.Run(t.Context())
	require.NoError(t, v.Close())
	require.NoError(t, err, out.String())
	assert.Contains(t, out.String(), "stood still: this trial does not count")
	return v.Record()
}
