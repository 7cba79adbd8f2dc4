package phone

import (
	"net/http"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/words"
	"loopwitness/commission/words/german"
)

// An open page hears each change as it comes: what stands and stands no more, its status,
// what sounds, who holds the questions.
func TestAnOpenPageHearsEachChange(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		stream, cancel := c.listen("")
		defer cancel()
		seen := 0
		next := func(when string) []string {
			t.Helper()
			synctest.Wait()
			all := names(stream.heard(t))
			news := all[seen:]
			seen = len(all)
			return news
		}
		next("before")
		_, w := s.watched(ready)
		assert.Equal(t, []string{EventTalk}, next("a wait"))
		w.Status(ask.LeftStatus{Left: time.Minute})
		w.Status(ask.LeftStatus{Left: time.Minute})
		assert.Equal(t, []string{EventStatus}, next("its status, once"))
		w.Status(nil)
		assert.Equal(t, []string{EventStatus}, next("none"))
		s.Sounding([]string{"Sounder"})
		s.Sounding([]string{"Sounder"})
		assert.Equal(t, []string{EventTalk}, next("what sounds, once"))
		w.Close()
		assert.Equal(t, []string{EventTalk}, next("the end of the wait"))
		w.Status(ask.LeftStatus{Left: time.Minute})
		assert.Empty(t, next("a status of a wait that is over"))
		s.TakeBack()
		assert.Equal(t, []string{EventTaken, EventTalk, EventNotice}, next("who holds the questions"))
		cancel()
		synctest.Wait()
	})
}

// Whoever stands beside is told who was paired, who holds the questions, and where the
// phone is.
func TestWhatIsToldOfPhones(t *testing.T) {
	s := serve(t)
	var told []ask.Notice
	s.Beside(nil, func(n ...ask.Notice) { told = append(told, n...) })
	s.pair(s.tokens.Onlooker, "a tablet")
	c := s.pair(s.tokens.Technician, "a phone")
	for _, h := range []Hand{{Key: "1", Code: "0417"}, {Key: "2", Code: "9999", Back: true},
		{Key: "3", Code: "0417", Back: true}} {
		c.send("/hand", h)
	}
	s.TakeBack()
	assert.Equal(t, []ask.Notice{ask.PhonePaired{Device: "a tablet", Onlooker: true},
		ask.PhonePaired{Device: "a phone"},
		ask.HeldByPhone{
			Device: "a phone",
		}, ask.PhoneHandedOver{}, ask.PhoneHandedOver{Back: true}, ask.HeldByTerminal{}}, told)
	assert.Equal(t, "This phone holds the questions", words.English{}.Say(ask.HolderThis{}))
}

// Nobody is forgotten who was heard of, and who is refused is told why; but no number of
// onlookers keeps a technician out.
func TestTooManyPhones(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		var all []*client
		for range mostPhones {
			all = append(all, s.pair(s.tokens.Onlooker, "x"))
		}
		late := &client{s: s}
		assert.Equal(t, http.StatusForbidden, late.pair(s.tokens.Onlooker, "late"))
		assert.Equal(t, http.StatusOK, all[3].pair(s.tokens.Technician, "its own place"))
		time.Sleep(2*beatEvery + time.Second)
		for i, c := range all {
			if i != 5 {
				c.clock(t, 0)
			}
		}
		require.Equal(t, http.StatusOK, late.pair(s.tokens.Onlooker, "late"))
		for i, c := range all {
			code, _ := c.send("/clock", Clock{})
			assert.Equal(t, i == 5, code == http.StatusUnauthorized, "%d", i)
		}
		second := &client{s: s}
		require.Equal(t, http.StatusOK, second.pair(s.tokens.Technician, "a second phone"))
		gone := 0
		for _, c := range append(all, late) {
			if code, _ := c.send("/clock", Clock{}); code == http.StatusUnauthorized {
				gone++
			}
		}
		assert.Equal(t, 2, gone, "one more onlooker")
		assert.True(t, all[3].talk().Holds)
		for range mostPhones {
			(&client{s: s}).pair(s.tokens.Technician, "one of many")
		}
		assert.Equal(t, http.StatusForbidden, (&client{s: s}).pair(s.tokens.Technician, "one too many"))
	})
}

// Of several phones that are kept, the one goes on holding the questions that did.
func TestTheHolderGoesOn(t *testing.T) {
	var kept []byte
	first, tokens := New(Config{Language: words.English{}, Hosts: []string{host}, TLS: true,
		Keep: func(phones []byte) error { kept = phones; return nil }})
	s := &serving{Server: first, t: t, handler: first.Handler(), tokens: tokens}
	phones := []*client{s.pair(tokens.Technician, "a"), s.pair(tokens.Technician, "b"), s.pair(tokens.Technician, "c")}
	_, taken := phones[1].send("/hold", Hold{Key: "1", Sure: true})
	require.True(t, taken.OK)
	next := s.again(kept)
	for i, c := range phones {
		c.s = next
		assert.Equal(t, i == 1, c.talk().Holds)
	}
}

// What is asked is told with what helps; what a wait can be answered with, and what is
// spoken when it comes.
func TestWhatIsAsked(t *testing.T) {
	s := serve(t)
	q, _ := s.question(ask.Question{ID: "q", What: ask.LoopMatter, Help: ask.PrintedAdvice, Step: "walk/1.1",
		Redo:  ask.NoteMatter,
		Shown: "4k7", WayBack: "back", Optional: true, Takes: ask.Quantity{In: checks.Resistance, Unit: "ohm"}})
	say := words.English{}.Say
	assert.Equal(t, Question{ID: "q", What: say(ask.LoopMatter), Help: say(ask.PrintedAdvice), Redo: say(ask.NoteMatter),
		Shown: "4k7", WayBack: "back", Optional: true, Subject: "detector/1.1", Takes: Takes{Kind: "quantity", Unit: "ohm"}}, *q)
	// What a practice voltmeter shows is written, and taken, as Germans do.
	inGerman, _ := New(Config{Language: german.Language{}, Hosts: []string{host}})
	reading := ask.Question{ID: "q", What: ask.SupplyVoltage{}, Takes: ask.Quantity{In: checks.Voltage}, Shown: "12.68 V"}
	read, _ := inGerman.question(reading)
	assert.Equal(t, "12,68 V", read.Shown)
	answer, err := inGerman.accepted(reading, Reply{Text: read.Shown})
	require.NoError(t, err)
	assert.Equal(t, "12.68 V", answer.Text)
	for _, id := range []ask.Question{{ID: programme.IDCustomer}, {ID: programme.IDCustomer + "/name"},
		{ID: "doubted", Step: programme.IDCustomer}} {
		assert.True(t, ofCustomer(id), id.ID)
	}
	assert.False(t, ofCustomer(ask.Question{ID: programme.IDTechnician + "/name", Step: programme.IDTechnician}))

	w := s.watch(ready)
	assert.Equal(t, []Key{{"ready", "ready"}, {"skip", say(ask.Skip)}, {"jump", say(ask.Jump)}}, w.Keys)
	assert.Equal(t, "Go", w.Speaks)
	other := s.watch(ask.Watch{Step: "walk/1.1", Title: ask.FirstReportMatter})
	assert.Empty(t, other.Speaks+other.Point, "a wait that is no detector's turn")
	assert.NotEmpty(t, s.watch(ask.Watch{Title: ask.FirstReportMatter, Urgent: true}).Speaks)
}
