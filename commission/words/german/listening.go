package german

import (
	"loopwitness/commission/words"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

var (
	germanWays = map[signal.Way]string{
		signal.OverMQTT:   "the controller's messages over MQTT",
		signal.ByWatching: "the controller's own indication, watched by the technician",
		signal.Simulated:  "simulated controller",
	}
	germanTimings = map[signal.Timing]string{
		signal.ByComputer:      "by the computer, from the cue to the arrival of the message",
		signal.ByHand:          "by hand: a key was pressed when the indication changed",
		signal.BySeed:          "simulated: delays are drawn from a seed, not measured",
		signal.BySimulatedTime: "simulated: time itself was simulated, delays are drawn from a seed, not measured",
	}
	germanAspects = map[signal.Aspect]string{
		signal.Setting:      "the exit time runs",
		signal.Set:          "set",
		signal.Entering:     "the entry time runs",
		signal.Alarm:        "alarm",
		signal.Confirmed:    "confirmed alarm",
		signal.MainsFault:   "mains failure",
		signal.BatteryFault: "battery fault",
	}
	germanStops = map[record.Stop]string{
		record.StopByTechnician: "the technician",
		record.StopAsked:        "the end of the program was asked for",
		record.StopByError:      "an error",
		record.StopUnpaused:     "the program ended without a pause",
	}
)

// ofListening says how signals are received, and why a run ended.
func (Language) ofListening(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case signal.Way:
		return germanWays[p], germanWays[p] != ""
	case signal.Timing:
		return germanTimings[p], germanTimings[p] != ""
	case signal.Aspect:
		return germanAspects[p], germanAspects[p] != ""
	case record.Stop:
		return germanStops[p], germanStops[p] != ""
	}
	return "", false
}
