package visit_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/collecting"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
)

// Web hooks at 5,000 a second, over 50 connections, each answered when it is durable: how long an answer
// takes, and how late each was stamped, beside a server that does nothing but stamp the first byte of
// the same requests (echo). as-fast-as-it-goes sends the next request with the answer to the last.
//
// A minute of each takes three minutes:
//
//	go test ./commission/visit -run '^$' -bench Hook -benchtime 300000x -timeout 30m
//
// Idle cores are part of the measurement. TMPDIR says on which disk the journal is.
func BenchmarkHook(b *testing.B) {
	for _, way := range []struct {
		name string
		rate int
	}{{"5000-a-second", rate}, {"as-fast-as-it-goes", 0}} {
		b.Run(way.name, func(b *testing.B) {
			took, late := throughHook(b, way.rate)
			b.ReportMetric(within(took, 0.5), "answer-p50-ms")
			b.ReportMetric(within(took, 0.99), "answer-p99-ms")
			b.ReportMetric(within(took, 1), "answer-latest-ms")
			b.ReportMetric(within(late, 0.5), "stamp-p50-ms")
			b.ReportMetric(within(late, 0.99), "stamp-p99-ms")
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "kept/s")
			if len(late) < b.N {
				b.Errorf("%d signals are missing", b.N-len(late))
			}
		})
	}
	b.Run("echo", func(b *testing.B) {
		took, late := throughEcho(b)
		b.ReportMetric(within(took, 0.99), "answer-p99-ms")
		b.ReportMetric(within(late, 0.5), "stamp-p50-ms")
		b.ReportMetric(within(late, 0.99), "stamp-p99-ms")
	})
}

// throughHook is how long answers took, and how late the stamps are that a visit has written.
func throughHook(b *testing.B, rate int) (took, late []time.Duration) {
	defer collecting.WhileListening()()
	path := filepath.Join(b.TempDir(), "journal.jsonl")
	f, err := os.Create(path)
	require.NoError(b, err)
	w := journal.On(f)
	defer w.Close()
	hook := web.NewHook(
		web.HookConfig{At: "127.0.0.1:0", Secret: "kiln-secret-in-a-path", ID: "/n", Signals: []web.HookSignal{
			{Path: "/zone/+", Address: "z{1}", Rule: payload.Rule{Value: "/state", States: map[signal.State][]string{
				signal.Active: {"open"}, signal.Restored: {"closed"}}}}}},
		clock.Real{},
	)
	source := &keptSource{Source: hook, started: make(chan struct{})}
	v := listening(b, source, w)
	ctx, stop := context.WithCancel(b.Context())
	ended := make(chan error)
	go func() { ended <- v.Run(ctx) }()
	<-source.started
	took, sent := callAll(b, hook.Addr().String(), "/kiln-secret-in-a-path", rate)
	stop()
	require.ErrorIs(b, <-ended, context.Canceled)
	contents, err := journal.ReadFile(path)
	require.NoError(b, err)
	for _, e := range contents.Entries {
		if e.Kind != (signal.Signal{}).Kind() {
			continue
		}
		late = append(late, e.At.Sub(sent[numberOf(b, e.Body)].UTC()))
	}
	return took, late
}

// keptSource tells when it has started; unlike watched it hands the receiver on as it is.
type keptSource struct {
	signal.Source
	started chan struct{}
}

func (s *keptSource) Start(ctx context.Context, to signal.Receiver) error {
	defer close(s.started)
	return s.Source.Start(ctx, to)
}

// numberOf is the number of the call of which an entry tells.
func numberOf(b *testing.B, body []byte) int {
	var s signal.Signal
	require.NoError(b, json.Unmarshal(body, &s))
	text, err := strconv.Unquote(s.Raw)
	require.NoError(b, err)
	return number(b, []byte(text))
}

// throughEcho stamps the first byte of each request and answers at once.
func throughEcho(b *testing.B) (took, late []time.Duration) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	defer func() { _ = l.Close() }()
	var mu sync.Mutex
	stamps := map[int]time.Time{}
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() {
				defer func() { _ = c.Close() }()
				stamping := &stampingReader{from: c}
				from := bufio.NewReader(stamping)
				for {
					stamping.first = time.Time{}
					r, err := http.ReadRequest(from)
					if err != nil {
						return
					}
					body, _ := io.ReadAll(r.Body)
					mu.Lock()
					stamps[number(b, body)] = stamping.first
					mu.Unlock()
					_, _ = io.WriteString(c, "HTTP/1.1 204 No Content\r\n\r\n")
				}
			}()
		}
	}()
	took, sent := callAll(b, l.Addr().String(), "", rate)
	for n, at := range sent {
		late = append(late, stamps[n].Sub(at))
	}
	return took, late
}

type stampingReader struct {
	from  io.Reader
	first time.Time
}

func (s *stampingReader) Read(p []byte) (int, error) {
	n, err := s.from.Read(p)
	if s.first.IsZero() {
		s.first = time.Now()
	}
	return n, err
}

// callAll sends b.N calls over 50 connections, evenly where there is a rate, and tells how long each
// answer took, and when each was sent.
func callAll(b *testing.B, at, secret string, rate int) (took []time.Duration, sent []time.Time) {
	b.Helper()
	const senders = 50
	took, sent = make([]time.Duration, b.N), make([]time.Time, b.N)
	b.ResetTimer()
	begun := time.Now()
	var all sync.WaitGroup
	errs := make(chan error, senders)
	for s := range senders {
		all.Go(func() { errs <- callSome(at, secret, s, senders, rate, begun, took, sent) })
	}
	all.Wait()
	b.StopTimer()
	close(errs)
	for err := range errs {
		require.NoError(b, err)
	}
	return took, sent
}

func callSome(at, secret string, from, step, rate int, begun time.Time, took []time.Duration, sent []time.Time) error {
	c, err := net.Dial("tcp", at)
	if err != nil {
		return err
	}
	defer func() { _ = c.Close() }()
	answers := bufio.NewReader(c)
	for i := from; i < len(took); i += step {
		if rate > 0 {
			time.Sleep(time.Until(begun.Add(time.Duration(i) * time.Second / time.Duration(rate))))
		}
		body := fmt.Sprintf(`{"state":%q,"n":%d}`, []string{"open", "closed"}[i/2%2], i)
		text := fmt.Sprintf(
			"POST %s/zone/%d HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s",
			secret,
			1+i%2,
			len(body),
			body,
		)
		sent[i] = time.Now()
		if _, err := io.WriteString(c, text); err != nil {
			return err
		}
		answer, err := http.ReadResponse(answers, nil)
		if err != nil {
			return err
		}
		if answer.StatusCode != http.StatusNoContent {
			return errors.New(answer.Status)
		}
		took[i] = time.Since(sent[i])
	}
	return nil
}
