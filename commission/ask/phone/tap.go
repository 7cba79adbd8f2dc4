package phone

import (
	"net/http"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// clock answers with the program's clock, and stamps both instants as close to the network
// as it can.
func (s *Server) clock(w http.ResponseWriter, r *http.Request, of *session) {
	came := time.Since(s.zero)
	var c Clock
	if !s.read(w, r, mostBody, &c) {
		return
	}
	s.mu.Lock()
	of.kept = c.Kept
	s.mu.Unlock()
	write(w, http.StatusOK, Instants{Run: s.run, CameNS: int64(came), SentNS: int64(time.Since(s.zero))})
}

// timed puts the instant of a tap into what was pressed, or why it times nothing; arrived
// is when it came. It is refused where it contradicts the clock: no touch is given after it
// has arrived.
func (s *Server) timed(p *ask.Pressed, t *Tap, arrived time.Time) (refusal ask.Phrase) {
	at, uncertainty, tap, why, refusal := s.instant(t, arrived)
	if refusal != nil {
		return refusal
	}
	if p.NotTimed = why; why == "" {
		p.At, p.Uncertainty, p.Tap, p.TapZero = at, uncertainty, &tap, s.zero
	}
	return nil
}

// instant is when a tap was given by our clock, the middle of its bounds, and half of
// them; or why that is not known.
func (s *Server) instant(t *Tap, arrived time.Time) (
	at time.Time, uncertainty time.Duration, tap record.Tap, why record.Untimed, refusal ask.Phrase,
) {
	tap = record.Tap{DeviceNS: t.DeviceNS, EarliestNS: t.LeastNS, LatestNS: t.MostNS, By: record.TapBy(t.By)}
	if t.Unknown || t.Run != s.run {
		return at, 0, tap, record.ClockUnknown, nil
	}
	const most = int64(400 * 24 * time.Hour) // as record.Tap has it: no sum below overflows
	switch {
	case t.MostNS < t.LeastNS, max(t.DeviceNS, t.MostNS) > most, min(t.DeviceNS, t.LeastNS) < -most:
		return at, 0, tap, "", ask.NotUnderstood
	case t.MostNS-t.LeastNS > 2*int64(record.WidestTap):
		return at, 0, tap, record.ClockWide, nil
	case tap.Check() != nil:
		return at, 0, tap, "", ask.NotUnderstood
	}
	elapsed, uncertainty := tap.At()
	at = s.zero.Add(elapsed)
	switch {
	case s.zero.Add(time.Duration(t.DeviceNS + t.LeastNS)).After(arrived): // the earliest it can be
		return at, 0, tap, "", ask.TapAhead
	case at.Add(uncertainty).Before(s.zero): // before this run: by the clock of another
		return at, 0, tap, record.ClockUnknown, nil
	}
	return at, uncertainty, tap, "", nil
}
