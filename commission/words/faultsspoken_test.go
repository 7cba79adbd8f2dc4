package words

import (
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

var spokenOfFaults = []ask.Phrase{
	ask.FaultAwaited{Aspect: signal.MainsFault, Present: true}, ask.FaultAwaited{Aspect: signal.BatteryFault},
	ask.FaultStatus{Since: time.Second, Most: time.Minute}, ask.FaultTold{Aspect: signal.MainsFault},
	ask.FaultTold{Aspect: signal.MainsFault, Early: true}, ask.FaultTold{Aspect: signal.MainsFault, Kept: true},
	ask.FaultNotTold{Aspect: signal.BatteryFault, Present: true}, ask.BatteryMayBeOff{}, ask.BatteryStillOff{},
	ask.NotBoth{First: programme.Name{ID: programme.IDBatteryOn, Kind: programme.StepAct}},
}
