package german

import (
	"loopwitness/commission/words"

	"fmt"
	"time"

	"loopwitness/commission/ask"
)

// englishDoubts say why a value cannot well be.
var germanDoubts = map[ask.Doubt]string{
	ask.SupplyDoubt:   "a supply of 12 V gives no such voltage; a decimal point may be missing",
	ask.CellsDoubt:    "the battery's cells do not bear such a voltage; a decimal point may be missing",
	ask.DrawnDoubt:    "nothing of such a system draws such a current; the unit may be another",
	ask.LevelDoubt:    "no sounder has such a level",
	ask.DistanceDoubt: "a sounder is hardly measured from there; the unit may be another",
	ask.LoopDoubt:     "a loop that is not open has no such resistance",
}

// ofReadings says what belongs to readings, to outputs that are on, and to trials that
// are struck.
func (l Language) ofReadings(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Doubt:
		return germanDoubts[p]
	case ask.Really:
		return fmt.Sprintf("%s, really? Between %s and %s is usual: %s", p.Text, p.Lower, p.Upper, l.Say(p.Why))
	case ask.UntilStopped:
		return fmt.Sprintf("Let %s sound until it stops by itself, declared after %s?", p.Output, l.Duration(p.CutOff))
	case ask.Sounding:
		return p.Output + " is on until it stops by itself"
	case ask.SystemCurrent:
		return l.Say(p.Step)
	case ask.DetectorVoltage:
		return l.Say(p.Step)
	case ask.WhichTrial:
		return "Which trial of " + l.Say(p.Step) + " was spoiled?"
	case ask.OnChargeAgain:
		return "Let it charge: " + l.Say(p.Step)
	case ask.OffSoon:
		return "Switched off again when the questions that follow are answered, and after " + l.Duration(p.Most) +
			" at the latest."
	case ask.OnCharge:
		return "For at least " + l.Duration(p.For)
	case ask.RedoChoice:
		return "take the last one again: " + l.Say(p.Of)
	case ask.TrialChoice:
		return fmt.Sprintf("trial %d, %s: %s", p.Number, l.Say(p.Shown.Judgement.Verdict), l.Say(p.Shown))
	case ask.SoundingStatus:
		return fmt.Sprintf("%.0f s, at most %.0f s", p.Since.Seconds(), p.Most.Seconds())
	}
	return ""
}

func (l Language) readingNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.TakenAs:
		return "taken as " + n.Text
	case ask.LeftUnmeasured:
		return l.Say(n.Step) + ": not measured"
	case ask.Struck:
		return fmt.Sprintf("Trial %d of %s counts no more.", n.Number, l.Say(n.Step))
	case ask.NothingToStrike:
		return "There is no trial that counts."
	case ask.OffMeanwhile:
		return n.Output + " was off when you answered: what you wrote does not count as measured while it was on."
	case ask.StoppedAfter:
		return fmt.Sprintf("%s stopped by itself after %s.", n.Output, l.Duration(n.After.Round(100*time.Millisecond)))
	case ask.DidNotStop:
		return fmt.Sprintf("%s had not stopped after %s, and is switched off.", n.Output, l.Duration(n.After))
	}
	return ""
}
