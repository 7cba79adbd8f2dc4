package mqtt

import (
	"fmt"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// hold is a time, from the beginning of a test, in which bytes of one direction are kept.
type hold struct{ from, to time.Duration }

func (h hold) wait(begun time.Time) {
	if since := time.Since(begun); since >= h.from && since < h.to {
		time.Sleep(h.to - since)
	}
}

// line is a link to a broker that answers after a trip, and what was told and read, when.
type line struct {
	trip     func(since time.Duration) time.Duration
	up, down hold
	begun    time.Time
	theirs   net.Conn

	mu   sync.Mutex
	told []string
}

func (w *line) tell(format string, args ...any) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.told = append(w.told, time.Since(w.begun).Round(time.Millisecond).String()+" "+fmt.Sprintf(format, args...))
}

type onItsWay struct {
	p   packets.ControlPacket
	due time.Time
}

// run lets the line run for a time, in which reports are sent, and returns what was told.
func (w *line) run(t *testing.T, lasts time.Duration, reports ...time.Duration) []string {
	t.Helper()
	var told []string
	synctest.Test(t, func(t *testing.T) {
		ours, theirs := net.Pipe()
		w.begun, w.theirs, w.told = time.Now(), theirs, nil
		l := newLink(ours, clock.Real{}, func(string) { w.tell("stands") }, func() { w.tell("moves") })
		asked, answers := make(chan packets.ControlPacket, 1000), make(chan onItsWay, 1000)
		var running sync.WaitGroup
		running.Go(func() { w.take(asked) })
		running.Go(func() { w.answer(asked, answers) })
		running.Go(func() { w.send(answers) })
		running.Go(func() { w.read(l) })
		for _, at := range reports {
			time.AfterFunc(at, func() { answers <- onItsWay{published(0, false, false, 0, "x"), time.Now()} })
		}
		l.begin()
		time.Sleep(lasts)
		synctest.Wait()
		w.mu.Lock()
		told = w.told
		w.mu.Unlock()
		require.NoError(t, l.Close())
		require.NoError(t, theirs.Close())
		time.Sleep(time.Hour)
		close(answers)
		running.Wait()
	})
	return told
}

func (w *line) take(asked chan<- packets.ControlPacket) {
	defer close(asked)
	for {
		p, err := packets.ReadPacket(w.theirs)
		if err != nil {
			return
		}
		asked <- p
	}
}

func (w *line) answer(asked <-chan packets.ControlPacket, answers chan<- onItsWay) {
	for range asked {
		w.up.wait(w.begun)
		due := time.Now()
		if w.trip != nil {
			due = due.Add(w.trip(time.Since(w.begun)))
		}
		answers <- onItsWay{packets.NewControlPacket(packets.Pingresp), due}
	}
}

func (w *line) send(answers <-chan onItsWay) {
	for a := range answers {
		time.Sleep(time.Until(a.due))
		w.down.wait(w.begun)
		_ = a.p.Write(w.theirs)
	}
}

func (w *line) read(l *link) {
	for {
		p, err := packets.ReadPacket(l)
		if err != nil {
			return
		}
		if _, is := p.(*packets.PublishPacket); is {
			w.tell("report")
		}
	}
}

const ms = time.Millisecond

func always(d time.Duration) func(time.Duration) time.Duration {
	return func(time.Duration) time.Duration { return d }
}

// Questions are asked at 0, 250 ms, 500 ms …; with a trip of nothing an answer may take
// 500 ms. What is held comes between the two words about the link.
func TestALinkThatStandsStillIsTold(t *testing.T) {
	still := hold{1100 * ms, 3100 * ms}
	stalled := []string{"1.75s stands", "3.1s report", "3.25s moves"}
	held := func(from, to time.Duration) *line { return &line{down: hold{from, to}} }
	slow := always(600 * ms)
	slowing := func(since time.Duration) time.Duration {
		if since > 2*time.Second {
			return 550 * ms
		}
		return 10 * ms
	}
	for name, tc := range map[string]struct {
		line   *line
		report time.Duration
		want   []string
	}{
		"nothing held":  {&line{}, 1200 * ms, []string{"1.2s report"}},
		"both ways":     {&line{up: still, down: still}, 1500 * ms, stalled},
		"what comes":    {&line{down: still}, 1500 * ms, stalled},
		"reported late": {&line{down: still}, 1099 * ms, []string{"1.099s report", "1.75s stands", "3.25s moves"}},
		// What trickles in answers nothing, and is no proof that the link moves.
		"what goes":        {&line{up: still}, 1500 * ms, []string{"1.5s report", "1.75s stands", "3.25s moves"}},
		"just not noticed": {held(1001*ms, 1750*ms), 1001 * ms, []string{"1.75s report"}},
		"just noticed":     {held(1001*ms, 1751*ms), 1001 * ms, []string{"1.75s stands", "1.751s report", "2s moves"}},
		"for ever":         {held(1001*ms, time.Hour), 0, []string{"0s report", "1.75s stands"}},
		// Longer than questions are asked.
		"half a minute":  {held(1100*ms, 30*time.Second), 0, []string{"0s report", "1.75s stands", "30.25s moves"}},
		"a slow network": {&line{trip: slow}, 1501 * ms, []string{"2.1s report"}},
		"a slow network, held": {&line{trip: slow, down: hold{3 * time.Second, 6 * time.Second}}, 4 * time.Second,
			[]string{"4.2s stands", "6s report", "6.85s moves"}},
		"a network that grows slow": {&line{trip: slowing}, 1 * ms, []string{"10ms report", "2.77s stands"}},
	} {
		assert.Equal(t, tc.want, tc.line.run(t, 40*time.Second, tc.report), name)
	}
}

// What is said in words and figures of the bound is what holds.
func TestTheLongestThatIsNotNoticed(t *testing.T) {
	for from := 1001 * ms; from <= 1500*ms; from += 50 * ms {
		short := line{down: hold{from, from + Unnoticed - askEvery - ms}}
		assert.Empty(t, short.run(t, 5*time.Second), "from %v", from)
		long := line{down: hold{from, from + Unnoticed + ms}}
		assert.Len(t, long.run(t, 5*time.Second), 2, "from %v", from)
	}
	assert.Equal(t, 750*ms, Unnoticed)
}

// byHand is a clock whose timers never fire: nobody but Read looks at the link.
type byHand struct {
	clock.Real
	now time.Time
}

func (c *byHand) Now() time.Time                         { return c.now }
func (c *byHand) AfterFunc(time.Duration, func()) func() { return func() {} }

// asked is a link that has asked once, got its answer at once, and asked again, and the
// number of times that it was told to stand still and to move.
func askedTwice(t *testing.T) (l *link, c *byHand, stood, moved *int) {
	t.Helper()
	ours, theirs := net.Pipe()
	t.Cleanup(func() { _, _ = ours.Close(), theirs.Close() })
	go func() {
		for {
			if _, err := packets.ReadPacket(theirs); err != nil {
				return
			}
		}
	}()
	c, stood, moved = &byHand{now: time.Unix(0, 0)}, new(int), new(int)
	l = newLink(ours, c, func(string) { *stood++ }, func() { *moved++ })
	l.begin()
	l.heard([]byte{typePingresp, 0})
	_, err := l.Write(pingreq)
	require.NoError(t, err)
	return l, c, stood, moved
}

// A timer that is late lets no report slip by: Read judges before it hands on.
func TestReadJudgesBeforeItHandsOn(t *testing.T) {
	l, c, stood, moved := askedTwice(t)
	report := []byte{0x30, 3, 0, 1, 't'}
	for _, tc := range []struct {
		after time.Duration
		bytes []byte
		stood int
	}{
		{250 * ms, report, 0}, {250 * ms, report, 0}, {1, report, 1}, {250 * ms, report, 1},
		{0, []byte{typePingresp, 0}, 1},
	} {
		c.now = c.now.Add(tc.after)
		l.heard(tc.bytes)
		assert.Equal(t, tc.stood, *stood)
	}
	assert.Zero(t, *moved)
}

// A program that did not run finds the answer waiting, and blames no link.
func TestOwnAbsenceIsNoStall(t *testing.T) {
	l, c, stood, _ := askedTwice(t)
	c.now = c.now.Add(time.Minute)
	l.heard([]byte{typePingresp, 0})
	assert.Zero(t, *stood)
}

// An answer to nothing, as a broker may send it, is no answer to what comes later.
func TestAnswersToNothing(t *testing.T) {
	l, _, stood, moved := askedTwice(t)
	l.heard([]byte{typePingresp, 0, typePingresp, 0, typePingresp, 0})
	assert.Empty(t, l.asked)
	assert.Zero(t, *stood+*moved)
}

// Nothing is told of a connection that is not listened to yet, or no more.
func TestWhatIsNotWatchedIsNotTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ours, theirs := net.Pipe()
		defer func() { _ = theirs.Close() }()
		never := func() { assert.Fail(t, "told") }
		l := newLink(ours, clock.Real{}, func(string) { never() }, never)
		go func() { _, _ = l.Write(pingreq) }() // the client library's own
		time.Sleep(time.Minute)
		l.heard(nil)
		require.NoError(t, l.Close())
		l.begin()
		time.Sleep(time.Minute)
	})
}

// A broker that takes nothing at all is told, though the question cannot be written.
func TestAQuestionThatCannotBeWritten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ours, theirs := net.Pipe()
		var told atomic.Int32
		l := newLink(ours, clock.Real{}, func(string) { told.Add(1) }, func() {})
		go l.begin()
		time.Sleep(standsStill + 2*pingTimeout)
		synctest.Wait()
		assert.Zero(t, told.Load(), "no trip is known")
		time.Sleep(ms)
		synctest.Wait()
		assert.EqualValues(t, 1, told.Load())
		l.mu.Lock()
		assert.Len(t, l.asked, 1)
		l.mu.Unlock()
		require.NoError(t, l.Close())
		require.NoError(t, theirs.Close())
	})
}

// Every connection is watched, the first and those that follow.
func TestEveryConnectionIsWatched(t *testing.T) {
	s := &scripted{granted: 1}
	c, h, err := connect(t, s.start(t), "", zoneRule)
	require.NoError(t, err)
	latest := func(why signal.Change) {
		require.Eventually(t, func() bool { _, told := h.all(); return len(told) > 0 && told[len(told)-1].Why == why },
			20*time.Second, time.Millisecond, why)
	}
	for range 2 {
		s.dumb.Store(true)
		latest(signal.Stalled)
		s.dumb.Store(false)
		s.hangsUp.Store(true)
		go func() { _ = c.Energise(t.Context(), &site.Output{Address: "siren"}, false) }() // which is lost
		latest(signal.BackAgain)
	}
}

// The first trip that is known is that of CONNECT; and questions are bounded.
func TestConnectIsTheFirstQuestion(t *testing.T) {
	l, c, _, _ := askedTwice(t)
	l.asked, l.best = nil, pingTimeout
	_, err := l.Write([]byte{typeConnect, 0})
	require.NoError(t, err)
	c.now = c.now.Add(100 * ms)
	l.heard([]byte{typeConnack, 2, 0, 0})
	assert.Equal(t, 100*ms, l.best)
	l.asked, l.next = make([]time.Duration, mostAsked), 0
	assert.False(t, l.dueToAsk())
	l.asked, l.next = l.asked[1:], 0
	assert.True(t, l.dueToAsk())
}

// A new connection moves, whatever became of the one before.
func TestANewConnectionMoves(t *testing.T) {
	s := &scripted{granted: 1}
	c, h, err := connect(t, s.start(t), "", zoneRule)
	require.NoError(t, err)
	c.stood("d")
	l, err := c.open()
	require.NoError(t, err)
	defer func() { _ = l.Close() }()
	c.present("yes", &PresenceRule{Here: "yes"})
	_, told := h.all()
	assert.Equal(t, []signal.Connection{{Why: signal.Stalled, Detail: "d"}, {Up: true, Why: signal.ControllerUp}}, told)
}

// Where the controller says by itself whether it is there, a link that moves does not
// say it in its stead; and that it is there counts when it can be heard.
func TestALinkThatStandsStillAndPresence(t *testing.T) {
	a := &PresenceRule{Here: "yes", Away: "no"}
	stalled := signal.Connection{Why: signal.Stalled, Detail: "d"}
	gone, here := signal.Connection{Why: signal.ControllerGone}, signal.Connection{Up: true, Why: signal.ControllerUp}
	back := signal.Connection{Up: true, Why: signal.BackAgain}
	stands, moves := func(c *Controller) { c.stood("d") }, func(c *Controller) { c.moves() }
	yes, no := func(c *Controller) { c.present("yes", a) }, func(c *Controller) { c.present("no", a) }
	for name, tc := range map[string]struct {
		events []func(*Controller)
		told   []signal.Connection
	}{
		"stands and moves": {[]func(*Controller){stands, moves, yes}, []signal.Connection{stalled, back, here}},
		"gone before":      {[]func(*Controller){no, stands, moves, yes}, []signal.Connection{gone, stalled, here}},
		"gone meanwhile":   {[]func(*Controller){stands, no, moves, yes}, []signal.Connection{stalled, gone, here}},
		"there meanwhile":  {[]func(*Controller){no, stands, yes, moves}, []signal.Connection{gone, stalled, back}},
		"closed":           {[]func(*Controller){func(c *Controller) { c.closing.Store(true) }, stands, moves}, nil},
	} {
		c, h := New(Config{}, clock.Real{}), &heard{}
		c.to = h
		for _, happens := range tc.events {
			happens(c)
		}
		_, told := h.all()
		assert.ElementsMatch(t, tc.told, told, name)
		if len(tc.told) > 0 {
			assert.Equal(t, tc.told, told, name)
		}
	}
}
