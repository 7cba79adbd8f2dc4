package phone

import (
	"context"
	"encoding/json"
	"errors"
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

// An answer goes through what the question accepts, with what was shown; one that is sent
// again is answered as before and answers no other question.
func TestAnswers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		came := s.asked(t.Context(), question)
		serial := c.talk().Serial
		assert.Equal(t, []string{"about it"}, c.talk().Question.About)
		code, taken := c.send("/answer", Reply{Key: "1", Serial: serial, Text: "  "})
		assert.Equal(t, http.StatusUnprocessableEntity, code)
		assert.Equal(t, "an answer is needed here", taken.Refused)
		code, taken = c.send("/answer", Reply{Key: "1", Serial: serial, Text: "high"})
		assert.Equal(t, http.StatusOK, code, "what was refused may be put right under the same key")
		assert.Equal(t, Taken{OK: true}, taken)
		assert.Equal(t, answered{answer: ask.Answer{Text: "high", Shown: []string{"about it"}}}, <-came)

		came = s.asked(t.Context(), question)
		code, taken = c.send("/answer", Reply{Key: "1", Serial: serial, Text: "high"})
		assert.Equal(t, http.StatusOK, code)
		assert.Equal(t, Taken{OK: true}, taken, "sent again")
		_, taken = c.send("/answer", Reply{Key: "2", Serial: serial, Text: "low"})
		assert.Equal(t, Taken{Stale: true}, taken, "to a question that is over")
		_, taken = c.send("/press", Touched{Key: "3", Serial: c.talk().Serial, Press: "ready"})
		assert.Equal(t, Taken{Stale: true}, taken, "no wait stands")
		synctest.Wait()
		assert.Empty(t, came)
		_, taken = c.send("/press", Touched{Key: "4", Serial: c.talk().Serial, Press: "interrupted"})
		assert.True(t, taken.OK)
		assert.ErrorIs(t, (<-came).err, ask.ErrPaused)

		ctx, cancel := context.WithCancel(t.Context())
		came = s.asked(ctx, question)
		cancel()
		assert.ErrorIs(t, (<-came).err, context.Canceled)
		assert.Nil(t, c.talk().Question)
	})
}

// A redo, a way back, strokes: as every way of asking takes them.
func TestAnswersThatAreNoTexts(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		strokes := record.Strokes{
			Width:  300,
			Height: 100,
			Lines:  [][]int16{{1, 1, 2, 2, 3, 3, 4, 4}, {5, 5, 6, 6, 7, 7, 8, 8}},
		}
		drawn, err := json.Marshal(strokes)
		require.NoError(t, err)
		sign := ask.Question{
			ID:       "s",
			What:     ask.SignatureOf{Name: "Ignace", Role: "customer"},
			Takes:    ask.Signature{},
			Optional: true,
		}
		again := question
		again.Redo, again.WayBack = ask.NoteMatter, "back"
		for name, tc := range map[string]struct {
			q    ask.Question
			send Reply
			want ask.Answer
		}{
			"strokes":  {sign, Reply{Strokes: drawn}, ask.Answer{Strokes: &strokes}},
			"none":     {sign, Reply{}, ask.Answer{}},
			"redo":     {again, Reply{Redo: true}, ask.Answer{Redo: true, Shown: []string{"about it"}}},
			"way back": {again, Reply{Text: "back"}, ask.Answer{Text: "back", Shown: []string{"about it"}}},
		} {
			came := s.asked(t.Context(), tc.q)
			tc.send.Key, tc.send.Serial = s.key(), c.talk().Serial
			code, taken := c.send("/answer", tc.send)
			require.Equal(t, http.StatusOK, code, "%s: %s", name, taken.Refused)
			assert.Equal(t, answered{answer: tc.want}, <-came, name)
		}
		for name, tc := range map[string]struct {
			q    ask.Question
			send Reply
		}{
			"a dot":            {sign, Reply{Strokes: []byte(`{"width":10,"height":10,"lines":[[1,1]]}`)}},
			"no drawing":       {sign, Reply{Strokes: []byte(`[1]`)}},
			"a text":           {sign, Reply{Text: "x"}},
			"nothing to redo":  {question, Reply{Redo: true, Text: ""}},
			"strokes as words": {question, Reply{Strokes: drawn}},
		} {
			ctx, cancel := context.WithCancel(t.Context())
			came := s.asked(ctx, tc.q)
			tc.send.Key, tc.send.Serial = s.key(), c.talk().Serial
			code, taken := c.send("/answer", tc.send)
			if name == "nothing to redo" { // is a word as any other
				assert.Equal(t, "redo", (<-came).answer.Text)
				cancel()
				continue
			}
			assert.Equal(t, http.StatusUnprocessableEntity, code, name)
			assert.NotEmpty(t, taken.Refused, name)
			cancel()
			assert.Error(t, (<-came).err, name)
		}
	})
}

var ready = ask.Watch{ID: "ready", Step: "walk/1.1", Cue: record.Operate, Waits: true, Title: ask.Verbatim("Go"),
	Keys: []ask.Key{ask.Ready, ask.Skip, ask.Jump}}

func at(point string) ask.Watch {
	w := ready
	w.Step = "walk/" + point
	return w
}

// A key is taken when the visit has it: once, however often it is sent, also at the same
// time.
func TestKeys(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		keys, w := s.watched(ready)
		serial := c.talk().Serial
		assert.Equal(t, watchReady, c.talk().Watch.Kind)
		assert.Equal(t, "1.1", c.talk().Watch.Point)
		assert.Equal(t, "detector/1.1", c.talk().Watch.Subject)
		time.Sleep(time.Second)
		tap := &Tap{DeviceNS: int64(500 * ms), By: "touch", Run: s.run}
		outcomes := make(chan Taken, 3)
		for range 3 {
			go func() {
				_, taken := c.send("/press", Touched{Key: "1", Serial: serial, Press: "ready", Tap: tap, Expects: "1.1"})
				outcomes <- taken
			}()
		}
		synctest.Wait()
		assert.Empty(t, outcomes, "nobody has taken it yet")
		k := <-keys
		assert.Equal(t, ask.Ready, k.Key)
		assert.Equal(t, 500*ms, k.At.Sub(s.zero))
		assert.Empty(t, k.NotTimed)
		for range 3 {
			assert.Equal(t, Taken{OK: true}, <-outcomes)
		}
		synctest.Wait()
		select {
		case again := <-keys:
			t.Fatalf("%+v was delivered twice", again)
		default:
		}
		code, _ := c.send("/press", Touched{Key: "2", Serial: serial, Press: "heard"})
		assert.Equal(t, http.StatusUnprocessableEntity, code, "no key of this wait")
		_, taken := c.send("/press", Touched{Key: "3", Serial: serial, Press: "ready", Tap: tap, Expects: "1.2"})
		assert.Equal(t, Taken{Stale: true}, taken, "given for another detector")
		ahead := &Tap{DeviceNS: int64(time.Hour), By: "touch", Run: s.run}
		code, _ = c.send("/press", Touched{Key: "4", Serial: serial, Press: "ready", Tap: ahead})
		assert.Equal(t, http.StatusUnprocessableEntity, code)

		go func() {
			_, taken := c.send("/press", Touched{Key: "5", Serial: serial, Press: "jump", To: "2.1"})
			outcomes <- taken
		}()
		assert.Equal(t, ask.Pressed{Key: ask.Jump, To: "2.1"}, <-keys)
		assert.True(t, (<-outcomes).OK)
		go func() {
			_, taken := c.send("/press", Touched{Key: "6", Serial: serial, Press: "ready"})
			outcomes <- taken
		}()
		assert.Equal(t, ask.Pressed{Key: ask.Ready, NotTimed: record.ClockUnknown}, <-keys, "a network delays as it likes")
		assert.True(t, (<-outcomes).OK)
		go func() {
			_, taken := c.send("/press", Touched{Key: "7", Serial: serial, Press: "skip"})
			outcomes <- taken
		}()
		synctest.Wait()
		w.Close()
		assert.Equal(t, Taken{Stale: true}, <-outcomes, "the wait ended first")
		w.Close()
	})
}

// Taps that were kept are delivered one by one, each to the wait of its own detector, and
// not at all where that is concluded.
func TestKeptTaps(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		standing := func(first ask.Standing) {
			s.Board(ask.Board{Visit: programme.Handover, Zones: []ask.BoardZone{{Detectors: []ask.BoardDetector{
				{Point: "1.1", Kind: "door", Standing: first}, {Point: "1.2", Kind: "door", Standing: ask.OpenStanding}}}}})
		}
		standing(ask.OpenStanding)
		time.Sleep(time.Minute)
		tap := func(second int) *Tap {
			return &Tap{
				DeviceNS: int64(time.Duration(second) * time.Second),
				By:       "touch",
				Run:      s.run,
				HeldNS:   int64(time.Minute),
			}
		}
		type came struct {
			code  int
			taken Taken
		}
		outcomes := make(chan came, 2)
		kept := func(point string, second int, until *Tap) {
			go func() {
				code, taken := c.send(
					"/press",
					Touched{Key: s.key(), Press: "ready", Expects: point, Tap: tap(second), Until: until},
				)
				outcomes <- came{code, taken}
			}()
			synctest.Wait()
		}
		kept("1.1", 1, tap(10))
		_, other := s.watched(at("1.2"))
		synctest.Wait()
		other.Close()
		answer := s.asked(t.Context(), question)
		time.Sleep(5 * time.Second)
		assert.Empty(t, outcomes, "a question, or another detector's wait, is none of it")
		_, taken := c.send("/answer", Reply{Key: s.key(), Serial: c.talk().Serial, Text: "x"})
		require.True(t, taken.OK)
		<-answer
		keys, w := s.watched(at("1.1"))
		k := <-keys
		assert.Equal(t, time.Second, k.At.Sub(s.zero))
		assert.Equal(t, 10*time.Second, k.Until.Sub(s.zero))
		assert.Equal(t, came{200, Taken{OK: true}}, <-outcomes)
		w.Close()

		kept("1.1", 2, nil)
		standing(ask.ProvedStanding)
		assert.Equal(t, came{200, Taken{Stale: true}}, <-outcomes, "it is concluded meanwhile")

		kept("1.2", 3, nil)
		time.Sleep(keptWait)
		got := <-outcomes
		assert.Equal(t, http.StatusServiceUnavailable, got.code)
		assert.Equal(t, Taken{Later: true}, got.taken, "its turn has not come")

		_, nobodys := s.watched(at("1.2"))
		kept("", 4, nil)
		time.Sleep(keptWait)
		got = <-outcomes
		assert.Equal(t, Taken{Later: true}, got.taken, "a touch that names no detector is given to none")
		nobodys.Close()

		kept("1.2", 10, tap(9))
		got = <-outcomes
		assert.Equal(t, http.StatusUnprocessableEntity, got.code, "the next detector is not operated before it")

		kept("1.2", 10, &Tap{By: "touch", Unknown: true, Run: s.run})
		keys, w = s.watched(at("1.2"))
		k = <-keys
		assert.Equal(t, record.ClockUnknown, k.NotTimed, "it slept between the two")
		assert.True(t, k.Until.IsZero())
		<-outcomes
		w.Close()
	})
}

// The last outcomes are remembered, not all of a day.
func TestOutcomesAreBounded(t *testing.T) {
	var o outcomes
	done := 0
	do := func() reply { done++; return ok }
	for i := range mostOutcomes + 10 {
		o.once(string(rune(i)), do)
	}
	assert.LessOrEqual(t, len(o.of), mostOutcomes)
	o.once(string(rune(mostOutcomes)), do)
	assert.Equal(t, mostOutcomes+10, done, "the newest are")
}

// What sounds is switched off from any of the technician's phones, whatever is asked.
func TestQuiet(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		other := s.pair(s.tokens.Technician, "another")
		quiets := 0
		s.Serve(ask.OutOfTurn{Quiet: func() { quiets++ }})
		came := s.asked(t.Context(), question)
		code, _ := c.send("/press", Touched{Key: "1", Press: "quiet"})
		assert.Equal(t, http.StatusConflict, code, "nothing sounds")
		s.Sounding([]string{"Sounder"})
		assert.Equal(t, []string{"Sounder"}, c.talk().Sounding)
		for i, phone := range []*client{c, other} {
			_, taken := phone.send("/press", Touched{Key: "2", Press: "quiet"})
			assert.True(t, taken.OK)
			assert.Equal(t, i+1, quiets)
		}
		assert.Empty(t, came, "the question stands")
		_, _ = c.send("/press", Touched{Key: "3", Press: "interrupted", Serial: c.talk().Serial})
		<-came
	})
}

// A photograph is kept once, with what it shows; why it is not kept is told.
func TestPhotographs(t *testing.T) {
	s := serve(t)
	c := s.pair(s.tokens.Technician, "a phone")
	code, _ := c.send("/photo?key=0&subject=site", []byte("x"))
	assert.Equal(t, http.StatusConflict, code, "no visit yet")
	var kept []string
	s.Serve(ask.OutOfTurn{Photograph: func(about record.About, caption string, file []byte) (string, error) {
		if string(file) == "bad" {
			return "", errors.New("no photograph")
		}
		kept = append(kept, string(about)+" "+caption+" "+string(file))
		return "photograph-1.jpg", nil
	}})
	for range 2 {
		_, taken := c.send("/photo?key=1&subject=detector/1.1&caption=left+of+it", []byte("file"))
		assert.Equal(t, Taken{OK: true, Name: "photograph-1.jpg"}, taken)
	}
	assert.Equal(t, []string{"detector/1.1 left of it file"}, kept)
	_, taken := c.send("/photo?key=2&subject=site", []byte("bad"))
	assert.Equal(t, "no photograph", taken.Refused)
}

// Whatever is sent, nothing breaks and nobody is answered for: a body that is no answer to
// what stands reaches nobody.
func FuzzBodies(f *testing.F) {
	paths := []string{"/answer", "/press", "/hold", "/hand", "/clock", "/pair"}
	for _, body := range []string{`{}`, `{"key":"k","serial":1,"text":"x"}`,
		`{"key":"k","press":"ready","tap":{"by":"touch"}}`, `{"key":"k","serial":1,"press":"ready"}`,
		`{"key":"k","press":"ready","expects":"1.1","tap":{"by":"touch"}}`, `{"key":"k","code":"1234"}`,
		`{"key":"k","sure":true}`, `{"token":"x","device":"\u202e"}`, `null`, `[]`, `{"key":"k","strokes":{}}`} {
		for which := range paths {
			f.Add(which, []byte(body))
		}
	}
	f.Fuzz(func(t *testing.T, which int, body []byte) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		keys, w := s.watched(ready)
		defer w.Close()
		done := make(chan struct{})
		defer close(done)
		go func() { // as a visit does, which reads every key
			for {
				select {
				case <-keys:
				case <-done:
					return
				}
			}
		}()
		ctx, cancel := context.WithCancel(t.Context())
		cancel() // a tap that waits for its turn waits for nothing
		path := paths[uint(which)%uint(len(paths))]
		got := c.do(http.MethodPost, path, body, func(r *http.Request) { *r = *r.WithContext(ctx) })
		if got.Code >= 500 && got.Code != http.StatusServiceUnavailable {
			t.Fatalf("%s: %d", path, got.Code)
		}
		if path == "/answer" && got.Code == http.StatusOK {
			var taken Taken
			require.NoError(t, json.Unmarshal(got.Body.Bytes(), &taken))
			assert.True(t, taken.Stale && !taken.OK, "no question stands")
		}
		require.True(t, json.Valid(got.Body.Bytes()))
	})
}
