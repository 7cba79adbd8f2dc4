package visit_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
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

const (
	rate     = 5000 // signals a second
	slowSync = 20 * time.Millisecond
)

// Signals at 5,000 a second through a broker, none lost, and how late each was
// stamped: beside a client of others that does nothing but stamp the same messages
// (echo, mosquitto_sub), on a disk whose sync takes 20 ms, and beside the way that
// waits for the disk with every signal.
//
// A minute of each, with mosquitto and its clients installed, takes ten minutes:
//
//	go test ./commission/visit -run '^$' -bench Broker -benchtime 300000x -timeout 30m
//
// Idle cores are part of the measurement. A broker drops what a subscriber does not
// take in time, without a word: such signals are missing among those written.
func BenchmarkThroughABroker(b *testing.B) {
	for name, start := range map[string]func(testing.TB) *url.URL{"embedded": embedded, "mosquitto": testbroker.Mosquitto} {
		b.Run(name, func(b *testing.B) {
			at := start(b)
			for _, way := range []struct {
				name string
				sync time.Duration
				each bool
			}{
				{"queued", 0, false}, {"queued/sync=20ms", slowSync, false},
				{"each-waits", 0, true}, {"each-waits/sync=20ms", slowSync, true},
			} {
				b.Run(way.name, func(b *testing.B) {
					late, echoed := throughVisit(b, at, way.sync, way.each)
					b.ReportMetric(within(late, 0.5), "p50-ms")
					b.ReportMetric(within(late, 0.99), "p99-ms")
					b.ReportMetric(within(late, 1), "latest-ms")
					b.ReportMetric(within(echoed, 0.99), "echo-p99-ms")
					b.ReportMetric(within(echoed, 0.5), "echo-p50-ms")
					b.ReportMetric(float64(b.N-len(late)), "lost")
					if lost := b.N - len(late); lost > 0 && !way.each {
						b.Errorf("%d signals were lost", lost)
					}
				})
			}
		})
	}
}

// within is what a share of the stamps keeps within, in milliseconds; 0 for none.
func within(late []time.Duration, share float64) float64 {
	if len(late) == 0 {
		return 0
	}
	slices.Sort(late)
	return 1000 * late[int(share*float64(len(late)-1))].Seconds()
}

// echo lets mosquitto_sub stamp all signals, where it is installed. What is returned
// ends it and gives the time that it read for each number.
func echo(b *testing.B, at *url.URL) func() map[int]time.Time {
	program, err := exec.LookPath("mosquitto_sub")
	if err != nil {
		return func() map[int]time.Time { return nil }
	}
	host, port, err := net.SplitHostPort(at.Host)
	require.NoError(b, err)
	var out bytes.Buffer
	sub := exec.Command(program, "-h", host, "-p", port, "-t", "#", "-F", "%U %p")
	sub.Stdout = &out
	require.NoError(b, sub.Start())
	return func() map[int]time.Time {
		_ = sub.Process.Signal(os.Interrupt)
		_ = sub.Wait()
		stamps := map[int]time.Time{}
		for line := range strings.Lines(out.String()) {
			stamp, payload, _ := strings.Cut(line, " ")
			seconds, fraction, _ := strings.Cut(stamp, ".")
			s, err1 := strconv.ParseInt(seconds, 10, 64)
			ns, err2 := strconv.ParseInt(fraction, 10, 64)
			require.NoError(b, errors.Join(err1, err2), line)
			stamps[number(b, []byte(payload))] = time.Unix(s, ns)
		}
		return stamps
	}
}

// throughVisit is how late the stamps are that a visit has written, and those of an
// echo of the same signals.
func throughVisit(b *testing.B, at *url.URL, sync time.Duration, each bool) (late, echoed []time.Duration) {
	path := filepath.Join(b.TempDir(), "journal.jsonl")
	f, err := os.Create(path)
	require.NoError(b, err)
	w := journal.On(&slowFile{f, sync})
	defer w.Close()
	rule := mqtt.SignalRule{Topic: "studio/zone/+/state", Address: "z{1}", Rule: payload.Rule{Value: "/state",
		States: map[signal.State][]string{signal.Active: {"open"}, signal.Restored: {"closed"}}}}
	source := &watched{started: make(chan struct{}),
		Source: mqtt.New(mqtt.Config{Broker: at, Signals: []mqtt.SignalRule{rule}}, clock.Real{})}
	v := listening(b, source, w)
	source.visit, source.each = v, each
	ctx, stop := context.WithCancel(b.Context())
	ended := make(chan error)
	go func() { ended <- v.Run(ctx) }()
	<-source.started
	stamps := echo(b, at)
	time.Sleep(200 * time.Millisecond) // until it listens, too
	sent := publish(b, at)
	settled(func() int { return int(source.came.Load()) }, b.N)
	stop()
	require.ErrorIs(b, <-ended, context.Canceled)

	for n, stamp := range stamps() {
		echoed = append(echoed, stamp.Sub(sent[n].UTC()))
	}
	contents, err := journal.ReadFile(path)
	require.NoError(b, err)
	for _, e := range contents.Entries {
		if e.Kind != (signal.Signal{}).Kind() {
			continue
		}
		var s signal.Signal
		require.NoError(b, json.Unmarshal(e.Body, &s))
		payload := strings.ReplaceAll(strings.Trim(s.Raw, `"`), `\"`, `"`)
		late = append(late, e.At.Sub(sent[number(b, []byte(payload))].UTC()))
	}
	return late, echoed
}

// listening is a visit that waits for its technician all the while.
func listening(b *testing.B, source signal.Source, w *journal.Writer) *visit.Visit {
	b.Helper()
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(b, err)
	answers, err := scripted.Read("answers.yaml", []byte("answers:\n  - {when: walk/1.1/ready, say: \"\"}\n"))
	require.NoError(b, err)
	other := func(s programme.Step) bool { return s.ID != "walk/1.1" }
	technician := scripted.New(answers, clock.Real{}, &bytes.Buffer{}, words.English{})
	v, err := visit.Begin(visit.Config{Operator: technician, Source: source, Clock: clock.Real{}, Tool: "bench"}, w,
		record.Opened{Visit: programme.Handover, Number: "B-1/1", SiteName: "site.yaml", Site: visit.BenchSite,
			Programme: slices.DeleteFunc(programme.Of(s, programme.Checklist{}), other)})
	require.NoError(b, err)
	return v
}

// watched is a source that counts what it delivers and may wait for the disk each
// time.
type watched struct {
	signal.Source
	visit   *visit.Visit
	each    bool
	to      signal.Receiver
	started chan struct{}
	came    atomic.Int64
}

func (s *watched) Start(ctx context.Context, to signal.Receiver) error {
	s.to = to
	defer close(s.started)
	return s.Source.Start(ctx, s)
}

func (s *watched) Signal(heard signal.Signal) {
	s.to.Signal(heard)
	if s.each {
		_ = visit.Settle(s.visit)
	}
	s.came.Add(1)
}

func (s *watched) Connection(c signal.Connection) { s.to.Connection(c) }

// slowFile is a file that syncs slowly.
type slowFile struct {
	*os.File
	slow time.Duration
}

func (f *slowFile) Sync() error {
	time.Sleep(f.slow)
	return f.File.Sync()
}

// publish sends b.N signals, evenly, and returns when each was sent.
func publish(b *testing.B, at *url.URL) []time.Time {
	b.Helper()
	c := dial(b, at)
	sent := make([]time.Time, b.N)
	b.ResetTimer()
	begun := time.Now()
	var last paho.Token
	for i := range sent {
		time.Sleep(time.Until(begun.Add(time.Duration(i) * time.Second / rate)))
		state := "open"
		if i/2%2 == 1 {
			state = "closed"
		}
		sent[i] = time.Now()
		payload := fmt.Appendf(nil, `{"state":"%s","n":%d}`, state, i)
		last = c.Publish(fmt.Sprintf("studio/zone/%d/state", 1+i%2), 1, false, payload)
	}
	require.True(b, last.WaitTimeout(time.Minute))
	b.StopTimer()
	c.Disconnect(1000)
	return sent
}

// settled waits until all have come, or no more come for two seconds, ten at most.
func settled(count func() int, all int) {
	before, still := count(), 0
	for begun := time.Now(); before < all && still < 40 && time.Since(begun) < 10*time.Second; still++ {
		time.Sleep(50 * time.Millisecond)
		if now := count(); now != before {
			before, still = now, 0
		}
	}
}

func number(b *testing.B, payload []byte) int {
	var body struct{ N int }
	if err := json.Unmarshal(payload, &body); err != nil {
		b.Error(err)
	}
	return body.N
}

func dial(b testing.TB, at *url.URL) paho.Client {
	b.Helper()
	c := paho.NewClient(paho.NewClientOptions().AddBroker(at.String()).SetClientID("bench"))
	token := c.Connect()
	require.True(b, token.WaitTimeout(10*time.Second))
	require.NoError(b, token.Error())
	return c
}

func embedded(t testing.TB) *url.URL {
	t.Helper()
	return &url.URL{Scheme: "tcp", Host: testbroker.Run(t, testbroker.Options{}).Address}
}
