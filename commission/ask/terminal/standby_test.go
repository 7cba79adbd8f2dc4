//go:build unix

package terminal

import (
	"bytes"
	"context"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

// window is a terminal with an emulator behind it.
type window struct {
	*Operator
	t           *testing.T
	master, tty *os.File
	found       *term.State
	mu          sync.Mutex
	raw         bytes.Buffer
	latest      time.Time // when something was printed
	screen      vt10x.Terminal
}

func newWindow(t *testing.T, columns, rows int) *window {
	t.Helper()
	master, tty, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Rows: uint16(rows), Cols: uint16(columns)}))
	found, err := term.GetState(int(tty.Fd()))
	require.NoError(t, err)
	w := &window{t: t, master: master, tty: tty, found: found, Operator: New(tty, tty, words.English{}),
		screen: vt10x.New(vt10x.WithSize(columns, rows), vt10x.WithWriter(master))}
	go func() {
		buffer := make([]byte, 4096)
		for {
			n, err := master.Read(buffer)
			w.mu.Lock()
			w.raw.Write(buffer[:n])
			w.latest = time.Now()
			w.mu.Unlock()
			_, _ = w.screen.Write(buffer[:n])
			if err != nil {
				return
			}
		}
	}()
	t.Cleanup(func() {
		_ = tty.Close()
		_ = master.Close()
	})
	return w
}

// shows waits until all of the texts stand on the screen.
func (w *window) shows(texts ...string) {
	w.t.Helper()
	ok := assert.Eventually(w.t, func() bool {
		on := strings.ReplaceAll(w.screen.String(), "\u00a0", " ")
		return !slices.ContainsFunc(texts, func(s string) bool { return !strings.Contains(on, s) })
	}, 20*time.Second, 5*time.Millisecond)
	if !ok {
		w.t.Fatalf("%q is not shown; the screen says:\n%s", texts, w.screen.String())
	}
}

func (w *window) until(so func() bool) {
	w.t.Helper()
	require.Eventually(w.t, so, 20*time.Second, 5*time.Millisecond)
}

func (w *window) types(keys string) {
	w.t.Helper()
	_, err := w.master.WriteString(keys)
	require.NoError(w.t, err)
}

// answers types once the screen has been quiet for a moment, as a person would: a prompt
// throws away what was typed before it stood.
func (w *window) answers(keys string) {
	w.t.Helper()
	w.until(func() bool {
		w.mu.Lock()
		defer w.mu.Unlock()
		return time.Since(w.latest) > 150*time.Millisecond
	})
	w.types(keys)
}

func (w *window) printed() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.raw.String()
}

// standsBy runs StandBy; its answer comes through the channel.
func (w *window) standsBy(ctx context.Context, p ask.Pairing) <-chan ask.Key {
	done := make(chan ask.Key, 1)
	go func() { done <- w.StandBy(ctx, p) }()
	return done
}

func pairing() ask.Pairing {
	return ask.Pairing{Address: "https://192.0.2.7:7443/#token", Fingerprint: "0b:5e",
		Code: slices.Repeat([]string{strings.Repeat("█", 33)}, 17)}
}

func boardOf(name string, s ask.Standing) ask.Board {
	return ask.Board{Site: "Yard", Connected: true, Zones: []ask.BoardZone{{
		Name: programme.ZoneName{Number: 1, Name: "Door"}, Now: signal.Restored,
		Detectors: []ask.BoardDetector{{Point: "1.1", Name: name, Standing: s, Verdict: record.Silent}}}}}
}

// The pairing is shown until a phone has the questions, and the board on wish; it follows
// what is told, from whatever goroutine. A key takes the questions back, and what stood in
// the terminal stands there again, with what was told meanwhile below it.
func TestStandingBy(t *testing.T) {
	w := newWindow(t, 80, 24)
	_, err := w.tty.WriteString("what stood there\r\n")
	require.NoError(t, err)
	done := w.standsBy(t.Context(), pairing())
	w.shows(strings.Repeat("█", 33), "https://192.0.2.7:7443/#token", "0b:5e", "[t] take the questions back")
	assert.NotContains(t, w.screen.String(), "what stood there")
	w.types("p")
	w.Board(boardOf("Contact", ask.OpenStanding))
	w.shows("Yard", "1.1 Contact open")
	w.Tell(ask.StageBegins{Stage: programme.StageWalkTest}, ask.Proved{Point: "1.1"}, ask.MainsStillOff{})
	w.shows("1.1 proved: reported", "MAINS")
	w.until(func() bool { return strings.Contains(w.printed(), bell) }) // an alarm is heard
	w.types("xy\x1b[A")                                                 // no keys
	w.Board(boardOf("Contact", ask.FailedStanding))
	w.shows("✗ 1.1 Contact not proved: silent")
	w.types("p")
	w.shows("https://192.0.2.7:7443/#token")
	w.types("t")
	assert.Equal(t, ask.TakeBack, <-done)
	w.shows("what stood there", "1.1 proved: reported")
	assert.NotContains(t, w.screen.String(), "#token", "what was shown leaves no trace")
	now, err := term.GetState(int(w.tty.Fd()))
	require.NoError(t, err)
	assert.Equal(t, w.found, now)

	w.Tell(ask.Struck{Number: 7, Step: programme.Name{Kind: programme.StepOutput, Output: "Horn"}})
	w.shows("Horn")
}

// Ctrl-C pauses; a context that ends is no key. A phone that has the questions is named.
func TestStandingByEnds(t *testing.T) {
	for keys, want := range map[string]ask.Key{"\x03": ask.Interrupted, "\x04": ask.Interrupted, "": ""} {
		w := newWindow(t, 40, 24)
		p := pairing()
		p.Device = "a phone"
		w.Board(boardOf("Contact", ask.OpenStanding))
		ctx, cancel := context.WithCancel(t.Context())
		done := w.standsBy(ctx, p)
		w.shows("The questions are on: a phone", "1.1 Contact open")
		if keys == "" {
			cancel()
		}
		w.types(keys)
		assert.Equal(t, want, <-done)
		cancel()
		w.until(func() bool { return strings.Contains(w.printed(), firstScreen) })
	}
}

// However often a board is told, the last one is shown, and not each is painted.
func TestBoardsAreNotPaintedOneByOne(t *testing.T) {
	w := newWindow(t, 60, 24)
	p := pairing()
	p.Device = "a phone"
	done := w.standsBy(t.Context(), p)
	w.shows("The questions are on")
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 5000 {
				w.Board(boardOf("Contact", ask.OpenStanding))
			}
		})
	}
	all.Wait()
	w.Board(boardOf("The last", ask.ProvedStanding))
	w.shows("✓ 1.1 The last proved")
	assert.Less(t, strings.Count(w.printed(), toTheTop), 1000)
	w.types("t")
	<-done
}

// A window that is made smaller is painted anew; nothing is wider than it.
func TestStandingByInASmallWindow(t *testing.T) {
	t.Setenv("NO_COLOR", "1")
	w := newWindow(t, 80, 24)
	p := pairing()
	p.Device = "a phone"
	b := boardOf("Contact", ask.OpenStanding)
	for i := range 40 {
		z := b.Zones[0]
		z.Name.Number = i + 2
		b.Zones = append(b.Zones, z)
	}
	w.Board(b)
	done := w.standsBy(t.Context(), p)
	w.shows("The questions are on: a phone", "lines more")
	require.NoError(t, pty.Setsize(w.master, &pty.Winsize{Rows: 10, Cols: 40}))
	w.screen.Resize(40, 10)
	w.shows("Yard", "1.1 Contact open", "lines more", "[Ctrl-C] pause")
	w.types(" ")
	w.until(func() bool { return !strings.Contains(w.screen.String(), "Yard") }) // the next page
	w.shows("lines more", "[Ctrl-C] pause")
	w.types("t")
	<-done
	assert.NotRegexp(t, "\x1b\\[3[0-9]m", w.printed(), "no colour where none is wanted")
}

// A status whose weight is that of an alarm rings whenever its text changes.
func TestAStatusThatIsHeard(t *testing.T) {
	w := newWindow(t, 80, 24)
	watching, err := w.Watch(t.Context(), ask.Watch{Title: ask.NoteMatter, Keys: []ask.Key{ask.Count, ask.Roam}})
	require.NoError(t, err)
	w.shows("[c] count down to the cue", "[m] move freely")
	watching.Status(ask.ListenStatus{Since: time.Second, ListenFor: time.Minute})
	w.shows("1.0 s")
	assert.NotContains(t, w.printed(), bell)
	watching.Status(ask.MainsStillOff{})
	watching.Status(ask.MainsStillOff{})
	w.shows("MAINS")
	w.types("m")
	assert.Equal(t, ask.Roam, (<-watching.Pressed()).Key)
	watching.Close()
	assert.Equal(t, 1, strings.Count(w.printed(), bell))
}

// A list stands above its prompt; an Enter that nobody meant answers nothing.
func TestAListInATerminal(t *testing.T) {
	w := newWindow(t, 60, 24)
	q := ask.Question{ID: "list/inspection", What: ask.ListMatter{Stage: programme.StageInspection, All: 2, Open: 1},
		Takes: ask.Items{Of: []ask.Item{{Word: "1", Label: ask.Verbatim("Covers are closed")},
			{Word: "2", Label: ask.Verbatim("Cables are sound"), Result: record.Defect, Remark: "one is cut"}}}}
	done := make(chan ask.Answer, 1)
	go func() {
		answer, err := w.Ask(t.Context(), q)
		assert.NoError(t, err)
		done <- answer
	}()
	w.shows("1 ○  Covers are closed", "2 ✗  Cables are sound: DEFECT “one is cut”", "1 of 2 open", "answer:")
	w.answers("\r")
	w.shows("an answer is needed here")
	w.answers("1,  2\r")
	assert.Equal(t, "1 2", (<-done).Text)
}

// The first line of a list whose first option leaves, or is not known, is no answer.
func TestAStrayEnterLeavesNothing(t *testing.T) {
	for _, first := range []ask.Choice{ask.LeaveChoice, ask.NotKnownChoice} {
		t.Run(string(first), func(t *testing.T) { strayEnter(t, first) })
	}
}

func strayEnter(t *testing.T, first ask.Choice) {
	t.Helper()
	w := newWindow(t, 60, 24)
	q := ask.Question{What: ask.NoteMatter, Takes: ask.OneOf{Options: []ask.Option{
		{Word: "first", Label: first}, {Word: "again", Label: ask.AgainChoice}}}}
	done := make(chan ask.Answer, 1)
	go func() {
		answer, err := w.Ask(t.Context(), q)
		assert.NoError(t, err)
		done <- answer
	}()
	w.shows("> (no answer yet)", "try again")
	w.answers("\r")
	w.shows("   arrows, then Enter")
	w.answers("\x1b[B\x1b[B")
	w.shows("> try again")
	w.answers("\r")
	assert.Equal(t, "again", (<-done).Text)
}

// Of a board a point is taken; the whole of it is shown on wish.
func TestABoardIsAnswered(t *testing.T) {
	w := newWindow(t, 60, 20)
	b := boardOf("Contact", ask.OpenStanding)
	for i := range 20 {
		z := boardOf("Contact", ask.ProvedStanding).Zones[0]
		z.Name.Number = i + 2
		b.Zones = append(b.Zones, z)
	}
	done := make(chan ask.Answer, 1)
	go func() {
		answer, err := w.Ask(t.Context(), ask.Question{What: ask.DetectorMatter, Takes: ask.Points{Board: b}})
		assert.NoError(t, err)
		done <- answer
	}()
	w.shows("1.1 Contact open", "20 zones", "answer:")
	w.answers("all\r")
	w.shows("21 Door", "answer:")
	w.answers("7.7\r")
	w.shows(`the board has no "7.7"`)
	w.answers("\b\b\b1.1\r")
	assert.Equal(t, "1.1", (<-done).Text)
}
