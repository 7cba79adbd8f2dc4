package phone

import (
	"net/http"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// Two phones: one holds the questions, the other takes them when it is really meant, in the
// middle of a wait; the visit is told before it has an answer from there.
func TestTakingOver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		var held []record.Held
		s.Serve(ask.OutOfTurn{Held: func(h record.Held) { held = append(held, h) }})
		assert.Equal(t, "No phone holds the questions yet", s.pair(s.tokens.Onlooker, "a tablet").talk().Holder)
		first := s.pair(s.tokens.Technician, "first")
		second := s.pair(s.tokens.Technician, "second\u202e\x00"+string(make([]byte, 500)))
		assert.True(t, first.talk().Holds)
		assert.False(t, second.talk().Holds)
		assert.Equal(t, "The questions are on the phone “first”", second.talk().Holder)
		keys, w := s.watched(ready)
		defer w.Close()
		serial := first.talk().Serial

		code, taken := second.send("/press", Touched{Key: "1", Serial: serial, Press: "skip"})
		assert.Equal(t, http.StatusConflict, code)
		assert.NotEmpty(t, taken.Refused)
		code, taken = second.send("/hold", Hold{Key: "2"})
		assert.Equal(t, http.StatusConflict, code)
		assert.Equal(t, "The questions are on the phone “first”. Take them from there?", taken.Refused)
		stream, cancel := first.listen("")
		defer cancel()
		synctest.Wait()
		code, _ = second.send("/hold", Hold{Key: "2", Sure: true})
		assert.Equal(t, http.StatusOK, code)
		synctest.Wait()
		assert.Contains(t, names(stream.heard(t)), EventTaken)
		assert.False(t, first.talk().Holds)
		assert.True(t, second.talk().Holds)
		assert.Equal(t, serial, second.talk().Serial, "the same wait goes on")
		code, _ = first.send("/press", Touched{Key: "3", Serial: serial, Press: "skip"})
		assert.Equal(t, http.StatusConflict, code)
		go second.send("/press", Touched{Key: "4", Serial: serial, Press: "skip"})
		assert.Equal(t, ask.Pressed{Key: ask.Skip}, <-keys)
		require.Len(t, held, 2)
		assert.Equal(t, record.Held{By: record.OnPhone, Device: "first"}, held[0])
		assert.Equal(t, record.OnPhone, held[1].By)
		assert.LessOrEqual(t, len([]rune(held[1].Device)), mostDevice)
	})
}

// Of phones that take the questions at the same time, one holds them in the end, and the
// visit was told so last.
func TestPhonesRace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		var last record.Held
		s.Serve(ask.OutOfTurn{Held: func(h record.Held) { last = h }})
		phones := map[string]*client{}
		for _, device := range []string{"a", "b", "c", "d"} {
			phones[device] = s.pair(s.tokens.Technician, device)
		}
		for range 20 {
			for _, c := range phones {
				key := s.key()
				go c.send("/hold", Hold{Key: key, Sure: true})
			}
			synctest.Wait()
			holders := 0
			for device, c := range phones {
				if c.talk().Holds {
					holders++
					assert.Equal(t, last.Device, device)
				}
			}
			assert.Equal(t, 1, holders)
		}
	})
}

// The terminal takes the questions back, and is given them.
func TestTheTerminalHolds(t *testing.T) {
	s := serve(t)
	var held, moved []record.Held
	s.Serve(ask.OutOfTurn{Held: func(h record.Held) { held = append(held, h) }})
	s.Beside(func(h record.Held) { moved = append(moved, h) }, nil)
	c := s.pair(s.tokens.Technician, "a phone")
	s.TakeBack()
	s.TakeBack()
	assert.False(t, c.talk().Holds)
	assert.Equal(t, "The questions are at the terminal", c.talk().Holder)
	assert.Zero(t, s.Silent())
	assert.False(t, s.pair(s.tokens.Technician, "later").talk().Holds, "nobody takes them by pairing")
	code, taken := c.send("/hold", Hold{Key: "1"})
	assert.Equal(t, http.StatusConflict, code)
	assert.Contains(t, taken.Refused, "the terminal")
	_, taken = c.send("/hold", Hold{Key: "2", Sure: true})
	assert.True(t, taken.OK)
	_, taken = c.send("/hold", Hold{Key: "3", Give: true})
	assert.True(t, taken.OK)
	code, _ = c.send("/hold", Hold{Key: "4", Give: true})
	assert.Equal(t, http.StatusConflict, code, "it does not hold them")
	phone, terminal := record.Held{By: record.OnPhone, Device: "a phone"}, record.Held{By: record.AtTerminal}
	assert.Equal(t, []record.Held{phone, terminal, phone, terminal}, held)
	assert.Equal(t, held, moved)
	s.Terminal = false
	_, taken = c.send("/hold", Hold{Key: "5", Sure: true})
	assert.True(t, taken.OK)
	code, _ = c.send("/hold", Hold{Key: "6", Give: true})
	assert.Equal(t, http.StatusConflict, code, "there is none")
}

// A phone that pairs anew takes its own place; one that was not heard of is silent.
func TestPairingAnewAndSilence(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		old := c.cookie
		require.Equal(t, http.StatusOK, c.pair(s.tokens.Technician, "a phone"))
		assert.NotEqual(t, old.Value, c.cookie.Value)
		assert.True(t, c.talk().Holds)
		w := (&client{s: s, cookie: old}).do(http.MethodPost, "/clock", []byte("{}"), nil)
		assert.Equal(t, http.StatusUnauthorized, w.Code)
		time.Sleep(7 * time.Second)
		assert.Equal(t, 7*time.Second, s.Silent())
		c.clock(t, 0)
		assert.Zero(t, s.Silent())
		for range 2 * mostPhones {
			code := (&client{s: s}).pair(s.tokens.Onlooker, "x")
			assert.Contains(t, []int{http.StatusOK, http.StatusForbidden}, code)
		}
		assert.LessOrEqual(t, len(s.sessions), mostPhones)
		time.Sleep(time.Minute)
		s.pair(s.tokens.Technician, "another") // in the place of one that has gone
		assert.True(t, c.talk().Holds, "which is not the holder")
		assert.Equal(t, time.Minute, s.Silent())
		require.Equal(t, http.StatusOK, c.pair(s.tokens.Onlooker, "a phone"))
		time.Sleep(time.Second)
		assert.Equal(t, time.Second, s.Silent(), "who holds them looks on now: nobody can switch off")
		s.pair(s.tokens.Technician, "the next")
		assert.Zero(t, s.Silent())
	})
}

// In the customer's hand the phone takes the customer's own answers and nothing else, until
// the digits are given; whoever tries them out has to wait.
func TestInTheCustomersHand(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		photographs := 0
		s.Serve(ask.OutOfTurn{Quiet: func() { t.Error("quiet") },
			Photograph: func(record.About, string, []byte) (string, error) { photographs++; return "", nil }})
		var told []ask.Notice
		s.Beside(nil, func(n ...ask.Notice) { told = append(told, n...) })
		c := s.pair(s.tokens.Technician, "a phone")
		other := s.pair(s.tokens.Technician, "another")
		s.Board(ask.Board{Visit: programme.Handover})
		accept := ask.Question{
			ID:      programme.IDCustomer,
			Step:    programme.IDCustomer,
			What:    ask.AcceptanceMatter,
			Redo:    ask.NoteMatter,
			WayBack: "back",
			Takes: ask.OneOf{Options: []ask.Option{{Word: "leave", Label: ask.LeaveChoice},
				{
					Word:  "accept",
					Label: ask.AcceptChoice,
				}, {Word: "refuses", Label: ask.RefuseChoice}, {Word: "absent", Label: ask.AbsentChoice}}},
		}
		came := s.asked(t.Context(), accept)
		assert.True(t, c.talk().Question.Takes.Customer)
		for _, bad := range []string{"", "123", "12345", "12a4", "1 34"} {
			code, _ := c.send("/hand", Hand{Key: s.key(), Code: bad})
			assert.Equal(t, http.StatusUnprocessableEntity, code, bad)
		}
		code, _ := other.send("/hand", Hand{Key: s.key(), Code: "1234"})
		assert.Equal(t, http.StatusConflict, code, "it does not hold the questions")
		s.Sounding([]string{"Sounder"})
		code, taken := c.send("/hand", Hand{Key: s.key(), Code: "0417"})
		assert.Equal(t, http.StatusConflict, code, "nobody could silence it")
		assert.NotEmpty(t, taken.Refused)
		assert.Equal(t, Technician, c.talk().Role)
		s.Sounding(nil)
		_, taken = c.send("/hand", Hand{Key: s.key(), Code: "0417"})
		require.True(t, taken.OK)

		talk := c.talk()
		assert.Equal(t, Customer, talk.Role)
		require.NotNil(t, talk.Question)
		assert.Empty(t, talk.Question.Redo+talk.Question.WayBack)
		require.Len(t, talk.Question.Takes.Options, 2)
		assert.Equal(t, "accept", talk.Question.Takes.Options[0].Word)
		assert.Equal(t, "refuses", talk.Question.Takes.Options[1].Word)
		for _, e := range c.events("", 0) {
			assert.Equal(t, EventTalk, e.name, "nothing else is shown")
		}
		s.Sounding([]string{"Sounder"})
		refusedAll := func(when string) {
			t.Helper()
			serial := c.talk().Serial
			for path, body := range map[string]any{
				"/press":         Touched{Key: s.key(), Serial: serial, Press: "interrupted"},
				"/press?q":       Touched{Key: s.key(), Press: "quiet"},
				"/hold":          Hold{Key: s.key(), Give: true},
				"/hold?sure":     Hold{Key: s.key(), Sure: true},
				"/hand":          Hand{Key: s.key(), Code: "9999"},
				"/photo?key=abc": []byte("x"),
			} {
				code, taken := c.send(path, body)
				assert.Equal(t, http.StatusForbidden, code, "%s: %s", when, path)
				assert.False(t, taken.OK, "%s: %s", when, path)
			}
		}
		refusedAll("their question")
		_, taken = c.send("/answer", Reply{Key: s.key(), Serial: c.talk().Serial, Text: "back"})
		assert.NotEmpty(t, taken.Refused, "no way back for them")
		for _, word := range []string{"leave", "absent"} {
			_, taken = c.send("/answer", Reply{Key: s.key(), Serial: c.talk().Serial, Text: word})
			assert.NotEmpty(t, taken.Refused, word)
		}
		_, taken = c.send("/answer", Reply{Key: s.key(), Serial: c.talk().Serial, Text: "accept"})
		assert.True(t, taken.OK)
		assert.Equal(t, "accept", (<-came).answer.Text)

		came = s.asked(t.Context(), question)
		assert.Nil(t, c.talk().Question, "the technician's")
		assert.Empty(t, c.talk().Sounding)
		serial := other.talk().Serial
		code, _ = c.send("/answer", Reply{Key: s.key(), Serial: serial, Text: "x"})
		assert.Equal(t, http.StatusForbidden, code)
		refusedAll("another's question")
		assert.Empty(t, came)
		assert.Zero(t, photographs)

		for i := range mostWrong {
			code, _ = c.send("/hand", Hand{Key: s.key(), Back: true, Code: "000" + string(rune('0'+i))})
			assert.Equal(t, http.StatusForbidden, code)
		}
		code, _ = c.send("/hand", Hand{Key: s.key(), Back: true, Code: "0417"})
		assert.Equal(t, http.StatusTooManyRequests, code, "also the right ones")
		assert.Equal(t, Customer, c.talk().Role)
		time.Sleep(wrongWait)
		stream, cancel := c.listen("?after=1")
		defer cancel()
		synctest.Wait()
		_, taken = c.send("/hand", Hand{Key: s.key(), Back: true, Code: "0417"})
		assert.True(t, taken.OK)
		synctest.Wait()
		assert.Equal(t, Technician, c.talk().Role)
		assert.NotNil(t, c.talk().Question)
		assert.Contains(t, names(stream.heard(t)), EventBoard, "what it was not told meanwhile")
		assert.Contains(t, told, ask.Notice(ask.WrongCodes{}))
		_, _ = c.send("/press", Touched{Key: s.key(), Press: "interrupted", Serial: c.talk().Serial})
		<-came
	})
}

// Loading the page again, or pairing with what a customer can find, does not get out.
func TestNothingGetsOutOfTheCustomersHand(t *testing.T) {
	s := serve(t)
	c := s.pair(s.tokens.Technician, "a phone")
	_, taken := c.send("/hand", Hand{Key: "1", Code: "0417"})
	require.True(t, taken.OK)
	cookie := c.cookie
	require.Equal(t, http.StatusForbidden, c.pair("", "again"))
	c.cookie = cookie
	assert.Equal(t, Customer, c.talk().Role)
	s.TakeBack()
	code, _ := c.send("/hold", Hold{Key: "2", Sure: true})
	assert.Equal(t, http.StatusForbidden, code)
}
