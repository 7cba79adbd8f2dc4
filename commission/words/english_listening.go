package words

import (
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

var (
	englishWays = map[signal.Way]string{
		signal.OverMQTT:   "the controller's messages over MQTT",
		signal.ByWatching: "the controller's own indication, watched by the technician",
		signal.Simulated:  "simulated controller",
		signal.OverHook:   "the controller's calls over HTTP (web hook)",
		signal.ByPolling:  "the controller's answers over HTTP (polling)",
		signal.Several:    "several ways at once",
	}
	englishTimings = map[signal.Timing]string{
		signal.ByComputer:      "by the computer, from the cue to the arrival of the message",
		signal.ByHand:          "by hand: a key was pressed when the indication changed",
		signal.BySeed:          "simulated: delays are drawn from a seed, not measured",
		signal.BySimulatedTime: "simulated: time itself was simulated, delays are drawn from a seed, not measured",
	}
	englishAspects = map[signal.Aspect]string{
		signal.Setting:      "the exit time runs",
		signal.Set:          "set",
		signal.Entering:     "the entry time runs",
		signal.Alarm:        "alarm",
		signal.Confirmed:    "confirmed alarm",
		signal.MainsFault:   "mains failure",
		signal.BatteryFault: "battery fault",
	}
	englishStops = map[record.Stop]string{
		record.StopByTechnician: "the technician",
		record.StopAsked:        "the end of the program was asked for",
		record.StopByError:      "an error",
		record.StopUnpaused:     "the program ended without a pause",
	}
)

// ofListening says how signals are received, and why a run ended.
func (English) ofListening(p Phrase) (string, bool) {
	switch p := p.(type) {
	case signal.Way:
		return englishWays[p], englishWays[p] != ""
	case signal.Timing:
		return englishTimings[p], englishTimings[p] != ""
	case signal.Aspect:
		return englishAspects[p], englishAspects[p] != ""
	case record.Stop:
		return englishStops[p], englishStops[p] != ""
	}
	return "", false
}
