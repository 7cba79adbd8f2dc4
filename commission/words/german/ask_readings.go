package german

import (
	"loopwitness/commission/words"

	"fmt"
	"time"

	"loopwitness/commission/ask"
)

// germanDoubts say why a value cannot well be.
var germanDoubts = map[ask.Doubt]string{
	ask.SupplyDoubt: "eine Versorgung mit 12 V gibt keine solche Spannung ab; vielleicht fehlt das Dezimalzeichen",
	ask.CellsDoubt:  "die Zellen des Akkus vertragen keine solche Spannung; vielleicht fehlt das Dezimalzeichen",
	ask.DrawnDoubt: "nichts in einer solchen Anlage zieht einen solchen Strom; vielleicht ist die Einheit eine " +
		"andere",
	ask.LevelDoubt:    "keine Sirene hat einen solchen Pegel",
	ask.DistanceDoubt: "eine Sirene misst man kaum aus diesem Abstand; vielleicht ist die Einheit eine andere",
	ask.LoopDoubt:     "eine Schleife, die nicht offen ist, hat keinen solchen Widerstand",
}

// ofReadings says what belongs to readings, to outputs that are on, and to trials that
// are struck.
func (l Language) ofReadings(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Doubt:
		return germanDoubts[p]
	case ask.Really:
		return fmt.Sprintf("%s, wirklich? Üblich ist zwischen %s und %s: %s", l.quantity(p.Text),
			l.quantity(p.Lower), l.quantity(p.Upper), l.Say(p.Why))
	case ask.UntilStopped:
		return fmt.Sprintf("%s anlassen, bis es von selbst aufhört, angegeben nach %s?", p.Output, l.Duration(p.CutOff))
	case ask.Sounding:
		return p.Output + " ist an, bis es von selbst aufhört"
	case ask.SystemCurrent:
		return l.Say(p.Step)
	case ask.DetectorVoltage:
		return l.Say(p.Step)
	case ask.WhichTrial:
		return "Welcher Versuch wurde verfälscht? " + l.Say(p.Step)
	case ask.OnChargeAgain:
		return "Laden lassen: " + l.Say(p.Step)
	case ask.OffSoon:
		return "Wird wieder ausgeschaltet, wenn die folgenden Fragen beantwortet sind, spätestens nach " +
			l.Duration(p.Most) + "."
	case ask.OnCharge:
		return "Mindestens " + l.Duration(p.For)
	case ask.RedoChoice:
		return "das Letzte noch einmal: " + l.Say(p.Of)
	case ask.TrialChoice:
		return fmt.Sprintf("Versuch %d, %s: %s", p.Number, l.Say(p.Shown.Judgement.Verdict), l.Say(p.Shown))
	case ask.SoundingStatus:
		return l.whole(p.Since) + ", höchstens " + l.whole(p.Most)
	}
	return ""
}

func (l Language) readingNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.TakenAs:
		return "übernommen als " + l.reading(n.Text)
	case ask.LeftUnmeasured:
		return l.Say(n.Step) + ": nicht gemessen"
	case ask.Struck:
		return fmt.Sprintf("Versuch %d zählt nicht mehr: %s.", n.Number, l.Say(n.Step))
	case ask.NothingToStrike:
		return "Es gibt keinen Versuch, der zählt."
	case ask.OffMeanwhile:
		return n.Output + " war aus, als Sie antworteten: Was Sie schrieben, zählt nicht als gemessen, solange " +
			"eingeschaltet war."
	case ask.StoppedAfter:
		return fmt.Sprintf("%s hörte nach %s von selbst "+
			"auf.", n.Output, l.Duration(n.After.Round(100*time.Millisecond)))
	case ask.DidNotStop:
		return fmt.Sprintf("%s hatte nach %s nicht aufgehört und wird ausgeschaltet.", n.Output, l.Duration(n.After))
	}
	return ""
}
