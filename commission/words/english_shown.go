package words

import (
	"fmt"
	"math"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

var englishHalves = map[record.Half]string{record.Operate: "operated", record.Restore: "restored"}

// ofShown says what trials showed of a detector, and where to look.
func (l English) ofShown(p Phrase) (string, bool) {
	s, is := p.(judge.Shown)
	if !is {
		return "", false
	}
	j, half, times := s.Judgement, englishHalves[s.Half], ""
	if s.Trials > 1 {
		times = fmt.Sprintf(" in the last of %d trials", s.Trials)
	}
	waited := math.Floor(j.Waited.Seconds())
	const look = "; look for a bridged or broken loop, or a wrong address"
	switch {
	case j.Verdict == record.Silent && j.Garbled != "":
		return fmt.Sprintf("reported %s when %s%s, which controller.yaml does not know", j.Garbled, half, times), true
	case j.Verdict == record.Silent && j.GaveUp:
		return fmt.Sprintf("no report when %s%s, when the technician gave up after %.0f s", half, times, waited) + look, true
	case j.Verdict == record.Silent:
		return fmt.Sprintf("no report within %.0f s when %s%s", waited, half, times) + look, true
	case j.Verdict == record.Crossed:
		return fmt.Sprintf("zone %d (%s) answered instead%s; look for swapped terminals", j.Other.Number, j.Other.Name, times), true
	case j.Verdict == record.Inverted:
		return "reported the opposite when " + half + times + "; look for normally open set where normally closed is wired", true
	case j.Verdict == record.Unsteady:
		return fmt.Sprintf("changed %d times when %s once%s; look for a loose magnet or a bad joint", j.Changes, half, times), true
	case j.Verdict == record.Late:
		return fmt.Sprintf("reported after %.2f s when %s, later than its limit%s", j.Response.Seconds(), half, times), true
	case j.Verdict == record.Undecided:
		return fmt.Sprintf("reported after %.2f s when %s, too close to its limit to decide%s (probability of conforming %.0f %%)",
			j.Response.Seconds(), half, times, 100*j.Probability), true
	}
	return "not tested", true
}
