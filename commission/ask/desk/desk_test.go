package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// fake is a terminal that a test types at.
type fake struct {
	mu       sync.Mutex
	screen   string // what stands on it
	told     []ask.Notice
	statuses []ask.Phrase
	boards   int
	pairing  ask.Pairing
	answers  chan ask.Answer
	keys     chan ask.Pressed
	by       chan ask.Key // of who stands by
	broken   error        // why no wait can begin
	within   int          // notices that were told within a wait
}

func newFake() *fake {
	return &fake{answers: make(chan ask.Answer), keys: make(chan ask.Pressed), by: make(chan ask.Key)}
}

// shows puts something on the screen, where nothing else may stand.
func (f *fake) shows(what string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if what != "" && f.screen != "" {
		panic(what + " over " + f.screen)
	}
	f.screen = what
}

func (f *fake) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	f.shows(q.ID)
	defer f.shows("")
	select {
	case a := <-f.answers:
		return a, nil
	case <-ctx.Done():
		return ask.Answer{}, ctx.Err()
	}
}

func (f *fake) Tell(notices ...ask.Notice) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.told = append(f.told, notices...)
}

func (f *fake) Board(ask.Board) { f.boards++ }

func (f *fake) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	if f.broken != nil {
		return nil, f.broken
	}
	f.shows(w.ID)
	return fakeWatch{f}, nil
}

func (f *fake) StandBy(ctx context.Context, p ask.Pairing) ask.Key {
	f.pairing = p
	f.shows("standing by")
	defer f.shows("")
	select {
	case k := <-f.by:
		return k
	case <-ctx.Done():
		return ""
	}
}

type fakeWatch struct{ f *fake }

func (w fakeWatch) Pressed() <-chan ask.Pressed { return w.f.keys }
func (w fakeWatch) Say(n ask.Notice)            { w.f.Tell(n); w.f.within++ }
func (w fakeWatch) Close()                      { w.f.shows("") }
func (w fakeWatch) Status(p ask.Phrase) {
	w.f.mu.Lock()
	defer w.f.mu.Unlock()
	w.f.statuses = append(w.f.statuses, p)
}

// plain is a terminal that cannot stand by.
type plain struct{ ask.Operator }

// table is a desk with its terminal, and a phone.
type table struct {
	*Desk
	t        *testing.T
	terminal *fake
	server   *phone.Server
	handler  http.Handler
	tokens   phone.Tokens
	cookie   *http.Cookie
	sent     int
}

const host = "192.0.2.1:8443"

func newTable(t *testing.T) *table {
	server, tokens := phone.New(phone.Config{Language: words.English{}, Hosts: []string{host}, TLS: true, Terminal: true})
	terminal := newFake()
	d := &table{t: t, terminal: terminal, server: server, handler: server.Handler(), tokens: tokens,
		Desk: New(terminal, server, ask.Pairing{Address: "https://" + host})}
	return d
}

// post sends what a phone sends and returns what became of it.
func (d *table) post(path string, body any) (taken phone.Taken) {
	data, err := json.Marshal(body)
	require.NoError(d.t, err)
	r := httptest.NewRequest(http.MethodPost, "https://"+host+path, bytes.NewReader(data))
	if d.cookie != nil {
		r.AddCookie(d.cookie)
	}
	w := httptest.NewRecorder()
	d.handler.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		d.cookie = c
	}
	_ = json.Unmarshal(w.Body.Bytes(), &taken)
	return taken
}

func (d *table) pair() {
	d.post("/pair", phone.Pair{Token: d.tokens.Technician, Device: "a phone"})
	require.NotNil(d.t, d.cookie)
	synctest.Wait()
}

func (d *table) key() string {
	d.sent++
	return strconv.Itoa(d.sent)
}

// talk is what the phone shows.
func (d *table) talk() (t phone.Talk) {
	d.t.Helper()
	_, after, found := strings.Cut(d.stream(), "event: talk\ndata: ")
	require.True(d.t, found)
	line, _, _ := strings.Cut(after, "\n")
	require.NoError(d.t, json.Unmarshal([]byte(line), &t))
	return t
}

// stream is all that the phone is told which opens its page now.
func (d *table) stream() string {
	d.t.Helper()
	ctx, cancel := context.WithCancel(d.t.Context())
	w := httptest.NewRecorder()
	r := httptest.NewRequestWithContext(ctx, http.MethodGet, "https://"+host+"/events", nil)
	r.AddCookie(d.cookie)
	over := make(chan struct{})
	go func() { d.handler.ServeHTTP(w, r); close(over) }()
	synctest.Wait()
	cancel()
	<-over
	return w.Body.String()
}

func (d *table) shown() string {
	synctest.Wait()
	d.terminal.mu.Lock()
	defer d.terminal.mu.Unlock()
	return d.terminal.screen
}

var (
	question = ask.Question{ID: "q", What: ask.NoteMatter, Takes: ask.Line{}}
	wait     = ask.Watch{ID: "w", Step: "walk/1.1", Title: ask.Verbatim("Go"), Keys: []ask.Key{ask.Ready, ask.Skip}}
)

type outcome struct {
	answer ask.Answer
	err    error
}

func (d *table) asked(ctx context.Context) <-chan outcome {
	out := make(chan outcome, 1)
	go func() {
		a, err := d.Ask(ctx, question)
		out <- outcome{a, err}
	}()
	synctest.Wait()
	return out
}

// A question goes to who holds the questions, and is put again where they change hands in
// the middle; the terminal shows how things stand meanwhile.
func TestAQuestionFollowsItsHolder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		var held []record.Held
		d.Serve(ask.OutOfTurn{Held: func(h record.Held) { held = append(held, h) }})
		came := d.asked(t.Context())
		assert.Equal(t, "standing by", d.shown())
		assert.Empty(t, d.terminal.pairing.Device)
		d.pair()
		assert.Equal(t, "a phone", d.terminal.pairing.Device, "it shows who holds them")
		assert.True(t, d.Draws())
		assert.Equal(t, "q", d.talk().Question.ID)

		d.terminal.by <- ask.TakeBack
		assert.Equal(t, "q", d.shown())
		assert.False(t, d.Draws())
		talk := d.talk()
		assert.False(t, talk.Holds)
		assert.Nil(t, talk.Question)
		assert.NotEmpty(t, d.post("/hold", phone.Hold{Key: d.key()}).Refused, "it is asked")
		assert.Equal(t, "q", d.shown())
		assert.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		assert.Equal(t, "standing by", d.shown())
		assert.True(t, d.post("/answer", phone.Reply{Key: d.key(), Serial: d.talk().Serial, Text: "x"}).OK)
		assert.Equal(t, outcome{answer: ask.Answer{Text: "x"}}, <-came)

		assert.True(t, d.post("/hold", phone.Hold{Key: d.key(), Give: true}).OK)
		came = d.asked(t.Context())
		d.terminal.answers <- ask.Answer{Text: "y"}
		assert.Equal(t, outcome{answer: ask.Answer{Text: "y"}}, <-came)
		on, off := record.Held{By: record.OnPhone, Device: "a phone"}, record.Held{By: record.AtTerminal}
		assert.Equal(t, []record.Held{on, off, on, off}, held)

		ctx, cancel := context.WithCancel(t.Context())
		came = d.asked(ctx)
		cancel()
		assert.ErrorIs(t, (<-came).err, context.Canceled)
	})
}

// A wait goes on where the questions are, with its status, and with keys from there only.
func TestAWaitFollowsItsHolder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		w.Status(ask.LeftStatus{Left: time.Minute})
		first := d.talk().Serial
		go d.post("/press", phone.Touched{Key: d.key(), Serial: first, Press: "skip"})
		assert.Equal(t, ask.Pressed{Key: ask.Skip}, <-w.Pressed())

		d.terminal.by <- ask.TakeBack
		assert.Equal(t, "w", d.shown())
		assert.Equal(t, []ask.Phrase{ask.LeftStatus{Left: time.Minute}}, d.terminal.statuses)
		assert.NotEmpty(t, d.post("/press", phone.Touched{Key: d.key(), Serial: first, Press: "skip"}).Refused)
		d.terminal.keys <- ask.Pressed{Key: ask.Ready}
		assert.Equal(t, ask.Pressed{Key: ask.Ready}, <-w.Pressed())
		w.Status(nil)
		w.Say(ask.TooSoon{})
		assert.Equal(t, []ask.Phrase{ask.LeftStatus{Left: time.Minute}, nil}, d.terminal.statuses)
		assert.Contains(t, d.terminal.told, ask.Notice(ask.TooSoon{}))

		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		assert.Equal(t, "standing by", d.shown())
		second := d.talk()
		assert.Equal(t, "w", second.Watch.ID)
		assert.Greater(t, second.Serial, first)
		assert.True(t, d.post("/press", phone.Touched{Key: d.key(), Serial: first, Press: "skip"}).Stale)
		taken := make(chan phone.Taken, 1)
		go func() { taken <- d.post("/press", phone.Touched{Key: d.key(), Serial: second.Serial, Press: "ready"}) }()
		synctest.Wait()
		assert.Empty(t, taken, "the visit has not taken it")
		w.Close()
		assert.True(t, (<-taken).Stale)
		assert.Nil(t, d.talk().Watch)
		w.Close()
	})
}

// A key that was pressed at the terminal just before the phone took over is not lost.
func TestAKeyIsNotLostWhenTheHolderChanges(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		d.terminal.by <- ask.TakeBack
		synctest.Wait()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		d.terminal.keys <- ask.Pressed{Key: ask.Ready}
		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		synctest.Wait()
		assert.Equal(t, ask.Pressed{Key: ask.Ready}, <-w.Pressed())
		synctest.Wait()
		assert.Equal(t, "w", d.talk().Watch.ID)
		w.Close()
	})
}

// A wait whose turn at the terminal is over before the screen is free begins with the phone.
func TestAWaitDoesNotHangAtTheScreen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		d.moved(record.Held{By: record.AtTerminal})
		synctest.Wait()
		d.screen <- struct{}{} // somebody is slow to give it back
		begun := make(chan ask.Watching, 1)
		go func() {
			w, err := d.Watch(t.Context(), wait)
			assert.NoError(t, err)
			begun <- w
		}()
		synctest.Wait()
		assert.Nil(t, d.talk().Watch)
		d.moved(record.Held{By: record.OnPhone})
		synctest.Wait()
		assert.Equal(t, "w", d.talk().Watch.ID)
		<-d.screen
		(<-begun).Close()
	})
}

// Ctrl-C at the terminal pauses whatever the phone is asked, or is asked next.
func TestInterruptedAtTheTerminal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		came := d.asked(t.Context())
		d.terminal.by <- ask.Interrupted
		assert.ErrorIs(t, (<-came).err, ask.ErrPaused)

		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		d.terminal.by <- ask.Interrupted
		assert.Equal(t, ask.Pressed{Key: ask.Interrupted}, <-w.Pressed())
		w.Close()

		d.terminal.by <- ask.Interrupted
		synctest.Wait()
		assert.ErrorIs(t, (<-d.asked(t.Context())).err, ask.ErrPaused)
		came = d.asked(t.Context())
		assert.Empty(t, came, "one for each")
		w2 := d.post("/press", phone.Touched{Key: d.key(), Serial: d.talk().Serial, Press: "interrupted"})
		assert.True(t, w2.OK)
		assert.ErrorIs(t, (<-came).err, ask.ErrPaused, "the phone can, too")
	})
}

// A terminal at which nobody is any more does not end a visit on the phone, and one that
// cannot stand by only listens.
func TestWithoutATerminal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		d.pair()
		d.terminal.by <- ask.Gone
		came := d.asked(t.Context())
		assert.Empty(t, d.shown())
		assert.True(t, d.post("/answer", phone.Reply{Key: d.key(), Serial: d.talk().Serial, Text: "x"}).OK)
		assert.NoError(t, (<-came).err)
		d.Close()
	})
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		d.Close()
		d.Desk = New(plain{d.terminal}, d.server, ask.Pairing{})
		d.pair()
		came := d.asked(t.Context())
		assert.Empty(t, d.shown())
		d.Board(ask.Board{Visit: programme.Handover})
		assert.Zero(t, d.terminal.boards)
		assert.True(t, d.post("/hold", phone.Hold{Key: d.key(), Give: true}).OK)
		assert.Equal(t, "q", d.shown())
		d.terminal.answers <- ask.Answer{Text: "x"}
		assert.NoError(t, (<-came).err)
		d.Close()
	})
}

// Both are told; into a prompt of the terminal nothing is printed that is about phones.
func TestBothAreTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		assert.Contains(t, d.terminal.told, ask.Notice(ask.PhonePaired{Device: "a phone"}))
		d.terminal.by <- ask.TakeBack
		synctest.Wait()
		assert.Contains(t, d.terminal.told, ask.Notice(ask.HeldByTerminal{}))
		d.terminal.told = nil
		came := d.asked(t.Context())
		cookie := d.cookie
		d.cookie = nil
		d.post("/pair", phone.Pair{Token: d.tokens.Onlooker, Device: "a tablet"})
		d.cookie = cookie
		assert.Empty(t, d.terminal.told)
		d.terminal.answers <- ask.Answer{}
		<-came
		assert.Equal(t, []ask.Notice{ask.PhonePaired{Device: "a tablet", Onlooker: true}}, d.terminal.told)
		d.Tell(ask.TooSoon{})
		assert.Contains(t, d.terminal.told, ask.Notice(ask.TooSoon{}))
		d.Board(ask.Board{Site: "Pottery studio", Visit: programme.Handover})
		assert.Equal(t, 1, d.terminal.boards)
		assert.Contains(t, d.stream(), "Pottery studio")
		d.Sounding([]string{"Sounder"})
		assert.Equal(t, []string{"Sounder"}, d.talk().Sounding)
		time.Sleep(time.Second)
		assert.Zero(t, d.Silent(), "the terminal holds them")
		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		time.Sleep(time.Second)
		assert.Equal(t, time.Second, d.Silent())
	})
}

// However often the questions change hands, one question has one answer, and one thing
// stands on the terminal at a time (the fake panics otherwise).
func TestHandsChangeAllTheTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		stop := make(chan struct{})
		var all sync.WaitGroup
		all.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				d.server.TakeBack()
				time.Sleep(time.Millisecond)
				d.post("/hold", phone.Hold{Key: "hold" + strconv.Itoa(i), Sure: true})
				time.Sleep(time.Millisecond)
			}
		})
		for i := range 50 {
			w, err := d.Watch(t.Context(), wait)
			require.NoError(t, err)
			time.Sleep(time.Duration(i) * 100 * time.Microsecond)
			w.Close()
			came := make(chan outcome, 1)
			go func() {
				a, err := d.Ask(t.Context(), question)
				came <- outcome{a, err}
			}()
			d.terminal.answers <- ask.Answer{Text: strconv.Itoa(i)}
			assert.Equal(t, outcome{answer: ask.Answer{Text: strconv.Itoa(i)}}, <-came)
		}
		close(stop)
		all.Wait()
	})
}

// While the terminal waits, what is told goes into its wait, and to the phone; afterwards
// beside it. A wait shows no status that it was not told.
func TestWhatIsToldWithinAWait(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		d.terminal.by <- ask.TakeBack
		synctest.Wait()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		assert.Empty(t, d.terminal.statuses)
		w.Say(ask.SameMoment{})
		assert.Equal(t, 1, d.terminal.within)
		assert.Contains(t, d.stream(), words.English{}.Say(ask.SameMoment{}))
		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		assert.Equal(t, "standing by", d.shown())
		within := d.terminal.within
		w.Say(ask.TooSoon{})
		assert.Equal(t, within, d.terminal.within, "the terminal waits no more")
		assert.Contains(t, d.terminal.told, ask.Notice(ask.TooSoon{}))
		w.Close()
		w.Status(nil) // nobody shows it any more
	})
}

// A terminal that cannot begin a wait says so at once, or, where the wait had begun on the
// phone, ends it; the phone can then go on.
func TestATerminalThatBreaks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		d.terminal.broken = errors.New("no terminal")
		d.terminal.by <- ask.TakeBack
		assert.Equal(t, ask.Pressed{Key: ask.Gone}, <-w.Pressed())
		w.Close()
		for range 2 { // its screen is free again
			_, err = d.Watch(t.Context(), wait)
			assert.ErrorIs(t, err, d.terminal.broken)
		}
		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		w, err = d.Watch(t.Context(), wait)
		require.NoError(t, err)
		assert.Equal(t, "w", d.talk().Watch.ID)
		w.Close()
	})
}

// Where the terminal's keys end in a wait, nobody presses one there any more; the phone can
// take over all the same.
func TestTheTerminalsKeysEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		d.terminal.by <- ask.TakeBack
		synctest.Wait()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		close(d.terminal.keys)
		assert.Equal(t, ask.Pressed{Key: ask.Gone}, <-w.Pressed())
		require.True(t, d.post("/hold", phone.Hold{Key: d.key(), Sure: true}).OK)
		synctest.Wait()
		go d.post("/press", phone.Touched{Key: d.key(), Serial: d.talk().Serial, Press: "skip"})
		assert.Equal(t, ask.Pressed{Key: ask.Skip}, <-w.Pressed())
		w.Close()
	})
}

// An interruption that nobody took, since the wait ended, is for the next talk.
func TestAnInterruptionIsNotLost(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newTable(t)
		defer d.Close()
		d.pair()
		w, err := d.Watch(t.Context(), wait)
		require.NoError(t, err)
		d.terminal.by <- ask.Interrupted
		synctest.Wait()
		w.Close()
		assert.ErrorIs(t, (<-d.asked(t.Context())).err, ask.ErrPaused)
		// Other keys that came too late are nothing.
		d.terminal.by <- ask.TakeBack
		synctest.Wait()
		w, err = d.Watch(t.Context(), wait)
		require.NoError(t, err)
		d.terminal.keys <- ask.Pressed{Key: ask.Ready}
		synctest.Wait()
		w.Close()
		came := d.asked(t.Context())
		assert.Empty(t, came)
		d.terminal.answers <- ask.Answer{Text: "x"}
		assert.NoError(t, (<-came).err)
	})
}
