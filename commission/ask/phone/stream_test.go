package phone

import (
	"encoding/json"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

func names(events []heard) (all []string) {
	for _, e := range events {
		all = append(all, e.name)
	}
	return all
}

// A page that was away hears what it has missed, once and in order, and one that comes
// without a number, or with one of another run, hears how everything stands.
func TestResume(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		s.Board(ask.Board{Site: "Studio", Visit: programme.Handover})
		_, w := s.watched(ask.Watch{ID: "w", Title: ask.FirstReportMatter, Keys: []ask.Key{ask.Leave}})
		w.Status(ask.LeftStatus{Left: time.Minute})
		first := c.events("", 0)
		assert.Equal(t, EventTalk, first[0].name)
		assert.Contains(t, names(first), EventBoard)
		assert.Equal(t, EventStatus, first[len(first)-1].name)
		last := first[len(first)-1].id
		assert.Empty(t, c.events("?after="+last, 0), "nothing new")

		s.Tell(ask.TooSoon{}, ask.SameMoment{})
		w.Say(ask.NotConnected{})
		missed := c.events("?after="+last, 0)
		assert.Equal(t, []string{EventNotice, EventNotice, EventNotice}, names(missed))
		again := c.events("?after="+missed[0].id, 0)
		assert.Equal(t, missed[1:], again)

		w.Close()
		s.Board(ask.Board{Site: "Studio", Visit: programme.Handover, Connected: true})
		for _, gap := range []string{"?after=57", "?after=99999999999999", "?after=x", "?after=-1"} {
			whole := c.events(gap, 0)
			assert.Equal(t, []string{EventTalk, EventBoard}, names(whole)[:2], gap)
			for _, e := range whole[2:] {
				require.Equal(t, EventNotice, e.name)
				var n Notice
				require.NoError(t, json.Unmarshal([]byte(e.data), &n))
				assert.True(t, n.Past, "told before: %s", e.data)
			}
		}
	})
}

// A page that fell far behind hears the whole state, not a part of what it has missed.
func TestAGapThatIsTooLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		s.Tell(ask.TooSoon{})
		before := c.events("", 0)
		last := before[len(before)-1].id
		for range mostKept + 1 {
			s.Tell(ask.TooSoon{})
		}
		assert.LessOrEqual(t, len(s.kept), mostKept)
		behind := c.events("?after="+last, 0)
		assert.Equal(t, EventTalk, behind[0].name)
		assert.Len(t, behind, 1+recently)
		// That is cut off before its last event: then it is a gap again.
		assert.Equal(t, EventTalk, c.events("?after="+behind[3].id, 0)[0].name)
		assert.Empty(t, c.events("?after="+behind[len(behind)-1].id, 0))
	})
}

// A beat comes at once and every five seconds, has no number, and ends with the page.
func TestBeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		w, cancel := c.listen("")
		time.Sleep(4*beatEvery + time.Second)
		synctest.Wait()
		beats := 0
		for _, e := range w.all(t) {
			if e.name == EventBeat {
				beats++
				assert.Empty(t, e.id)
			}
		}
		assert.Equal(t, 5, beats)
		cancel()
		synctest.Wait()
		assert.True(t, w.ended)
	})
}

// One stream a phone: a page that comes back does not leave its old one behind.
func TestANewStreamEndsTheOldOne(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		old, cancel := c.listen("")
		defer cancel()
		synctest.Wait()
		newer, cancel := c.listen("")
		defer cancel()
		synctest.Wait()
		s.Tell(ask.TooSoon{})
		synctest.Wait()
		assert.True(t, old.ended)
		assert.False(t, newer.ended)
		assert.Equal(t, EventNotice, newer.heard(t)[len(newer.heard(t))-1].name)
		cancel()
		synctest.Wait()
	})
}

// The last word ends every stream, also one that is opened later.
func TestThePageIsOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		w, cancel := c.listen("")
		defer cancel()
		synctest.Wait()
		s.Close(ask.PhonePageOver{Paused: true})
		s.Close(ask.PhonePageOver{})
		synctest.Wait()
		assert.True(t, w.ended)
		heard := w.heard(t)
		assert.Equal(t, EventGone, heard[len(heard)-1].name)
		assert.Contains(t, heard[len(heard)-1].data, "paused")
		late := c.events("", 0)
		assert.Equal(t, EventGone, late[len(late)-1].name)
		code, _ := c.send("/press", Touched{Key: "1", Press: "quiet"})
		assert.Equal(t, 409, code)
	})
}

// Of a board only the zones are told that have changed, with the counts; what the caller
// does to its own board afterwards changes nothing.
func TestTheBoardIsToldAsItChanges(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		board := ask.Board{Site: "<b>Studio</b>", Visit: programme.Handover, All: 20, Open: 20}
		for z := range 20 {
			board.Zones = append(board.Zones, ask.BoardZone{Name: programme.ZoneName{Number: z + 1, Name: "Zone"}, Kind: "door",
				Detectors: []ask.BoardDetector{{Point: "1.1", Kind: "door", Standing: ask.OpenStanding}}})
		}
		s.Board(board)
		first := c.events("", 0)
		last := first[len(first)-1].id
		board.Open, board.Zones[3].Now = 19, signal.Active
		board.Zones[3].Detectors[0].Standing = ask.ProvedStanding
		s.Board(board)
		s.Board(board)
		changed := c.events("?after="+last, 0)
		require.Equal(t, []string{EventZone}, names(changed))
		var zone BoardZone
		require.NoError(t, json.Unmarshal([]byte(changed[0].data), &zone))
		assert.Equal(t, 4, zone.Number)
		assert.Equal(t, "active", zone.State)
		assert.Equal(t, "proved", zone.Detectors[0].Standing)
		require.NotNil(t, zone.Of)
		assert.Equal(t, 19, zone.Of.Open)
		assert.Equal(t, "1 of 20", zone.Of.Progress)
		assert.Empty(t, zone.Of.Zones)

		board.Connected = true
		s.Board(board)
		for z := range board.Zones {
			board.Zones[z].Now = signal.Restored
		}
		s.Board(board)
		whole := c.events("?after="+changed[0].id, 0)
		assert.Equal(t, []string{EventBoard, EventBoard}, names(whole))
		var told Board
		require.NoError(t, json.Unmarshal([]byte(whole[1].data), &told))
		assert.Equal(t, "<b>Studio</b>", told.Site, "a name is text")
		assert.NotContains(t, whole[1].data, "<b>", "and no markup even in what is sent")
		assert.Len(t, told.Zones, 20)
	})
}

// A large board is told to a phone as it changes in little time.
func BenchmarkBoardOf500Zones(b *testing.B) {
	s := serve(b)
	board := ask.Board{Site: "Studio", Visit: programme.Handover, All: 500, Open: 500}
	for z := range 500 {
		board.Zones = append(board.Zones, ask.BoardZone{Name: programme.ZoneName{Number: z + 1, Name: fmt.Sprint("Zone ", z)},
			Kind: "door", Detectors: []ask.BoardDetector{{Point: "1.1", Kind: "door", Standing: ask.OpenStanding}}})
	}
	states := []signal.State{signal.Active, signal.Restored}
	for i := 0; b.Loop(); i++ {
		board.Zones[i%500].Now = states[i/500%2]
		s.Board(board)
	}
}
