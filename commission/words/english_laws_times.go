package words

import "loopwitness/commission/record"

// englishTimeLaws say what entries contradict about times, outputs, signals and trials.
var englishTimeLaws = map[record.Law]string{
	record.LawRunBegins: "the clock of a run does not begin with its first entry",
	record.LawRuns:      "runs are not numbered from 1, rising by one",
	record.LawHandsRise: "what one technician did is told in another order than its times have",
	record.LawNotLong: "its time is earlier than that of what stands before it, by more than " +
		"anything waits to be written",
	record.LawTimePasses: "many answers came in the same instant, although the times were not simulated",
	record.LawRunsFollow: "by the time of day it begins before what it follows was over; the clock " +
		"was set back between them, or one of them is not of that time",
	record.LawEndsAfter:     "the visit ends before it began, and no entry says that the clock was set back",
	record.LawDue:           "it was read before its time had passed",
	record.LawMainsInTurn:   "it comes only after mains was removed or put back, and that was not yet answered",
	record.LawNothingBehind: "more was done although all steps were concluded, and none of them was opened again",

	record.LawEnergisedFirst: "it was answered or measured what an output does that had never been energised",
	record.LawOffAtEnd:       "the output was switched on, and nothing says that it was switched off before the end",
	record.LawOnBeforeOff:    "an output was switched off that was not on",
	record.LawNotLongOn: "the output was on for longer than this program lets it, and nothing says that it could not be " +
		"switched off",
	record.LawLoaded: "it was read under alarm load, and not all that an alarm energises was on",

	record.LawListensFirst:   "it stands before any word of how signals are received",
	record.LawWay:            "signals are not received or timed so in any way that this program has",
	record.LawUncertainty:    "the uncertainty of times is not the one that signals received so have",
	record.LawListensOnce:    "a second source of signals is told in one run",
	record.LawSameMeter:      "the meter is simulated where the controller is not, or the other way round",
	record.LawToldByWay:      "what it tells cannot come of keys that are pressed",
	record.LawSampler:        "a voltage of the supply is told by a controller that tells none",
	record.LawEars:           "something came by a way on which nobody listens, or which cannot tell it",
	record.LawHeardConnected: "signals came while the connection was told lost",
	record.LawCueConnected:   "a detector was to be operated while the connection was told lost",
	record.LawLostAtCues:     "the connection is told lost just when these cues were given, too many of all",
	record.LawToldInTurn:     "a signal stands behind a cue before which it had long come, so that no trial counts it",

	record.LawNotAtOnce:    "the answer came in the very instant of the cue",
	record.LawNotAllFast:   "these answers, and too many of all, came faster than a controller reports",
	record.LawPerson:       "a key was pressed sooner after the cue than a person can",
	record.LawRestarts:     "the controller reported sooner after its restart than anybody could see it",
	record.LawChimeFollows: "a chime was heard while the zone that it follows, which reports, reported nothing",
	record.LawReady: "the cue came in the instant of what was done before it: nobody can have " +
		"said that they are ready",
	record.LawWaits: "a wait ended by itself before its time was up",
	record.LawTouch: "the cue stands at another instant than the touch that gave it, or is said to be known " +
		"better than that",
	record.LawTouchBounds: "a touch has bounds that no comparison of two clocks gives",
	record.LawOwnOrder:    "what nobody was told to do is timed, although no touch tells when it was done",
	record.LawOnce:        "a report counts for a second trial, or for one that was before its run",
	record.LawLateness:    "a wait was watched later than it lasted",

	record.LawEarlier: "what it takes in of earlier visits is what no visit takes in",
}
