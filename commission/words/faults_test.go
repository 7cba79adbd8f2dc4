package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

var faultExamples = []words.Phrase{
	judge.FaultSilent{Aspect: signal.MainsFault, Lasted: time.Hour}, judge.FaultSilent{Aspect: signal.MainsFault,
		Short: true},
	judge.FaultSilent{Aspect: signal.BatteryFault, Cut: true}, judge.FaultSilent{Aspect: signal.BatteryFault, Open: true},
	judge.FaultNotSeen{Aspect: signal.MainsFault, Waited: time.Hour},
	judge.FaultLate{Aspect: signal.BatteryFault, After: time.Hour, Limit: named},
	judge.FaultUndecided{Aspect: signal.MainsFault, AtMost: time.Minute, Limit: named},
	judge.FaultBefore{Aspect: signal.BatteryFault}, judge.FaultStays{Aspect: signal.MainsFault},
	judge.FaultStays{Aspect: signal.MainsFault, Since: time.Minute}, judge.FaultLapsed{Aspect: signal.MainsFault},
	judge.FaultNotSeen{Aspect: signal.BatteryFault}, judge.BatteryStillOff{}, judge.NotChargingSeen{},
	judge.ChargingSeen{},
	words.FaultNoticed{Aspect: signal.MainsFault, Never: true}, words.FaultNoticed{Aspect: signal.BatteryFault,
		Early: true},
	words.FaultNoticed{Aspect: signal.MainsFault, Kept: true, AtMost: time.Hour},
	words.FaultNoticed{Aspect: signal.MainsFault, Present: true, After: time.Second, AtMost: time.Second},
	words.FaultNoticed{Aspect: signal.MainsFault, Present: true, After: time.Second, AtMost: time.Minute},
}

// When a report came is said as well as it is known, and no better.
func TestHowWellATimeOfAReportIsKnown(t *testing.T) {
	for said, p := range map[string]words.Phrase{
		"8.4 s after mains was removed": words.FaultNoticed{Aspect: signal.MainsFault, Present: true,
			After: 8400 * time.Millisecond, AtMost: 8400 * time.Millisecond},
		"from 8 s to 5 min after mains was removed": words.FaultNoticed{Aspect: signal.MainsFault, Present: true,
			After: 8 * time.Second, AtMost: 5 * time.Minute},
		"while nobody listened, at most 5 min after the battery was connected again": words.FaultNoticed{
			Aspect: signal.BatteryFault, Kept: true, AtMost: 5 * time.Minute},
		"before it was said that mains was removed": words.FaultNoticed{Aspect: signal.MainsFault, Present: true,
			Early: true},
		"battery fault reported 12.0 s after the battery was disconnected": ask.FaultTold{Aspect: signal.BatteryFault,
			Present: true, After: 12 * time.Second},
	} {
		assert.Equal(t, said, words.English{}.Say(p))
	}
}
