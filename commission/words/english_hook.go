package words

import (
	"fmt"
	"time"

	"loopwitness/commission/signal"
)

// howHeard is what a way of receiving signals does to times and to what is heard, "" for nothing that
// the rest does not say.
func (l English) howHeard(by signal.Listening) string {
	switch by.Way {
	case signal.OverHook:
		return " A message arrived when its first byte was read. While the controller does not call, nothing tells " +
			"whether it could."
	case signal.ByPolling:
		between := l.Number(time.Duration(by.AskedNS).Seconds(), 2)
		return fmt.Sprintf(" A change is seen when the controller is asked the next time, never too early and at most %s s "+
			"too late: the uncertainty has that in it, and a limit is held against the times that are then possible. "+
			"What came and went between two questions is not seen.", between)
	}
	return ""
}
