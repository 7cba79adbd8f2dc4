package german

import (
	"loopwitness/commission/words"

	"fmt"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// englishFaultSteps are the steps about what the controller reports of its supply.
var germanFaultSteps = map[string]string{
	programme.IDBatteryOff:   "Disconnect the battery, mains present",
	programme.IDBatteryOn:    "Connect the battery again",
	programme.IDMainsFault:   "Was mains failure reported while mains was removed, and cleared since?",
	programme.IDBatteryFault: "Was battery fault reported while the battery was disconnected, and cleared since?",
}

const germanBatteryCaution = "A battery can drive a large current: no tool and no ring may touch both terminals, " +
	"and nothing that makes sparks may be near. Take off the terminal that the maker names first, insulate it at once, " +
	"and connect in the other order, plus to plus. Take apart no pack."

// causes are what a fault is the fault of, as it is gone and as it is back.
var germanCauses = map[signal.Aspect][2]string{
	signal.MainsFault:   {"mains was removed", "mains was back"},
	signal.BatteryFault: {"the battery was disconnected", "the battery was connected again"},
}

func cause(a signal.Aspect, present bool) string {
	if present {
		return germanCauses[a][0]
	}
	return germanCauses[a][1]
}

// reportedOrCleared is what is reported of a fault.
func reportedOrCleared(a signal.Aspect, present bool) string {
	if present {
		return germanAspects[a] + " reported"
	}
	return germanAspects[a] + " cleared"
}

var germanFaultChoices = map[ask.Choice]string{
	ask.AtControllerChoice: "shown at the controller, and gone again",
	ask.AtCentreChoice:     "received at the centre, its end as well",
	ask.NotClearedChoice:   "shown, and there still",
	ask.NotSeenChoice:      "waited for, and not seen anywhere",
	ask.ChargesChoice:      "it says that the battery charges",
	ask.ChargesNotChoice:   "it says that it does not charge",
	ask.NoIndicationChoice: "there is none, or it was not looked at",
}

// faultPhrase says what is asked and waited for about faults of the supply.
func (l Language) faultPhrase(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Choice:
		return germanFaultChoices[p]
	case ask.Matter:
		if p == ask.ChargesMatter {
			return "What does the controller's or the charger's own indication say?"
		}
	case ask.Advice:
		if p == ask.FaultAdvice {
			return "By the controller's own display or log, or by what the centre received."
		}
	case ask.FaultAwaited:
		if p.Present {
			return "Waiting until " + germanAspects[p.Aspect] + " is reported; some systems take minutes"
		}
		return "Waiting until " + germanAspects[p.Aspect] + " is cleared"
	case ask.FaultStatus:
		return fmt.Sprintf("%s of %s", l.Duration(p.Since), l.Duration(p.Most))
	}
	return ""
}

func (l Language) faultNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.FaultTold:
		what := reportedOrCleared(n.Aspect, n.Present)
		switch {
		case n.Early:
			return what + " before you said that " + cause(n.Aspect, n.Present)
		case n.Kept:
			return what + ", at some time while nobody listened"
		}
		return fmt.Sprintf("%s %.1f s after %s", what, n.After.Seconds(), cause(n.Aspect, n.Present))
	case ask.FaultNotTold:
		return reportedOrCleared(n.Aspect, n.Present) + ": nothing of that came from the controller."
	case ask.BatteryMayBeOff:
		return "The battery was disconnected before the break and may still be: without mains the system has no power."
	case ask.BatteryStillOff:
		return "THE BATTERY IS STILL DISCONNECTED: without mains the system has no power until it is connected again."
	case ask.NotBoth:
		return "Mains and battery are not to be off together. First: " + l.Say(n.First)
	}
	return ""
}

// faultStatement says what is the matter with how a fault of the supply is reported.
func (l Language) faultStatement(p words.Phrase) string {
	switch p := p.(type) {
	case judge.FaultSilent:
		text := fmt.Sprintf("%s never reported in the %s for which %s", germanAspects[p.Aspect], l.Duration(p.Lasted),
			cause(p.Aspect, true))
		switch {
		case p.Cut:
			return text + "; a report may have been missed"
		case p.Short:
			return text + "; it was not waited for longer"
		case p.Open:
			return text + "; within what time it has to be is not declared"
		}
		return text
	case judge.FaultLate:
		return fmt.Sprintf("%s reported %s after %s, limit %s (%s)", germanAspects[p.Aspect], l.seconds(p.After),
			cause(p.Aspect, true), l.Duration(p.Limit.Duration()), l.Say(p.Limit))
	case judge.FaultUndecided:
		return fmt.Sprintf("%s reported at most %s after %s, too near its limit of %s (%s), or not known well enough",
			germanAspects[p.Aspect], l.seconds(p.AtMost), cause(p.Aspect, true), l.Duration(p.Limit.Duration()), l.Say(p.Limit))
	case judge.FaultBefore:
		return germanAspects[p.Aspect] + " reported already before " + cause(p.Aspect, true) + ": its report proves nothing"
	case judge.FaultStays:
		if p.Since == 0 {
			return germanAspects[p.Aspect] + " shown still after " + cause(p.Aspect, false)
		}
		return fmt.Sprintf("%s reported still, %s after %s", germanAspects[p.Aspect], l.Duration(p.Since),
			cause(p.Aspect, false))
	case judge.FaultLapsed:
		return germanAspects[p.Aspect] + " reported as gone long before " + cause(p.Aspect, false)
	case judge.FaultNotSeen:
		if p.Waited > 0 {
			return fmt.Sprintf("%s not seen reported anywhere in the %s for which %s", germanAspects[p.Aspect],
				l.Duration(p.Waited), cause(p.Aspect, true))
		}
		return germanAspects[p.Aspect] + " not seen reported"
	case judge.BatteryStillOff:
		return "the battery is still disconnected"
	case judge.NotChargingSeen:
		return "by its indication the battery does not charge"
	case judge.ChargingSeen:
		return "charging seen by an indication only, not measured"
	}
	return ""
}

// seconds is a time since something was done by hand.
func (l Language) seconds(d time.Duration) string { return l.Duration(d.Round(time.Second)) }

var germanFaultResults = map[record.Result]string{
	record.AtController: "shown at the controller, and gone again",
	record.AtCentre:     "received at the centre, and its end",
	record.NotCleared:   "shown, not cleared",
	record.NotSeen:      "not seen",
	record.AsTold:       "as the controller told",
}

var germanFaultLaws = map[record.Law]string{
	record.LawFaultCause: "whether a fault of the supply was reported is said once its cause was made and ended",
	record.LawFaultAsked: "what the controller tells of its supply is not answered by a person, nor told where it " +
		"tells nothing",
	record.LawBatteryInTurn: "mains and battery are not off together",
}

var germanFaultShown = map[judge.FaultShown]string{
	judge.FaultReported:   "reported, cleared",
	judge.FaultNotCleared: "not cleared",
	judge.FaultNever:      "never reported",
	judge.FaultTooLate:    "late",
	judge.FaultUnclear:    "undecided",
	judge.FaultUnseen:     "not seen",
	judge.FaultNotTested:  "not tested",
}

// ofFaults says what became of faults of the supply.
func (l Language) ofFaults(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.FaultShown:
		return germanFaultShown[p], germanFaultShown[p] != ""
	case words.FaultNoticed:
		return faultNoticed(l, p), true
	}
	text := l.faultStatement(p)
	return text, text != ""
}

func faultNoticed(l Language, n words.FaultNoticed) string {
	switch {
	case n.Never:
		return "never"
	case n.Early:
		return "before it was said that " + cause(n.Aspect, n.Present)
	case n.Kept:
		return "while nobody listened, at most " + l.seconds(n.AtMost) + " after " + cause(n.Aspect, n.Present)
	case n.AtMost-n.After > time.Second:
		return fmt.Sprintf("from %s to %s after %s", l.seconds(n.After), l.seconds(n.AtMost), cause(n.Aspect, n.Present))
	}
	return fmt.Sprintf("%.1f s after %s", n.After.Seconds(), cause(n.Aspect, n.Present))
}
