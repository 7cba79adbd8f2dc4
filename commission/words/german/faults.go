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

// germanFaultSteps are the steps about what the controller reports of its supply.
var germanFaultSteps = map[string]string{
	programme.IDBatteryOff: "Akku abklemmen, Netz vorhanden",
	programme.IDBatteryOn:  "Akku wieder anklemmen",
	programme.IDMainsFault: "Wurde der Netzausfall gemeldet, als das Netz weg war, und ist die Meldung seitdem " +
		"gelöscht?",
	programme.IDBatteryFault: "Wurde die Akkustörung gemeldet, als der Akku abgeklemmt war, und ist die Meldung " +
		"seitdem gelöscht?",
}

const germanBatteryCaution = "Ein Akku kann einen sehr großen Strom treiben: Kein Werkzeug und kein Ring darf " +
	"beide Pole berühren, und nichts, was Funken schlägt, darf in der Nähe sein. Nehmen Sie zuerst die Klemme " +
	"ab, die der Hersteller nennt, isolieren Sie sie sofort, und klemmen Sie in umgekehrter Reihenfolge an, " +
	"Plus an Plus. Zerlegen Sie keinen Akkupack."

// causes are what a fault is the fault of, as it is gone and as it is back; the verb stands last,
// so that each goes on from bevor, nachdem, dass and in denen.
var germanCauses = map[signal.Aspect][2]string{
	signal.MainsFault:   {"das Netz weg war", "das Netz wieder da war"},
	signal.BatteryFault: {"der Akku abgeklemmt war", "der Akku wieder angeklemmt war"},
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
		return germanAspects[a] + " gemeldet"
	}
	return germanAspects[a] + " gelöscht"
}

var germanFaultChoices = map[ask.Choice]string{
	ask.AtControllerChoice: "an der Zentrale angezeigt, und wieder weg",
	ask.AtCentreChoice:     "bei der Alarmempfangsstelle eingegangen, auch das Ende",
	ask.NotClearedChoice:   "angezeigt, und noch da",
	ask.NotSeenChoice:      "abgewartet, und nirgends gesehen",
	ask.ChargesChoice:      "sie zeigt, dass der Akku lädt",
	ask.ChargesNotChoice:   "sie zeigt, dass er nicht lädt",
	ask.NoIndicationChoice: "es gibt keine, oder sie wurde nicht angesehen",
}

// faultPhrase says what is asked and waited for about faults of the supply.
func (l Language) faultPhrase(p words.Phrase) string {
	switch p := p.(type) {
	case ask.Choice:
		return germanFaultChoices[p]
	case ask.Matter:
		if p == ask.ChargesMatter {
			return "Was zeigt die Anzeige der Zentrale oder des Ladegeräts?"
		}
	case ask.Advice:
		if p == ask.FaultAdvice {
			return "Nach Anzeige oder Ereignisspeicher der Zentrale, oder nach dem, was bei der " +
				"Alarmempfangsstelle einging."
		}
	case ask.FaultAwaited:
		if p.Present {
			return "Warten auf die Meldung: " + germanAspects[p.Aspect] + "; manche Anlagen brauchen Minuten"
		}
		return "Warten, bis die Meldung gelöscht ist: " + germanAspects[p.Aspect]
	case ask.FaultStatus:
		return fmt.Sprintf("%s von %s", l.Duration(p.Since), l.Duration(p.Most))
	}
	return ""
}

func (l Language) faultNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.FaultTold:
		what := reportedOrCleared(n.Aspect, n.Present)
		switch {
		case n.Early:
			return what + ", bevor Sie sagten, dass " + cause(n.Aspect, n.Present)
		case n.Kept:
			return what + ", irgendwann, als niemand zuhörte"
		}
		return fmt.Sprintf("%s, %s s, nachdem %s", what, l.Number(n.After.Seconds(), 1), cause(n.Aspect, n.Present))
	case ask.FaultNotTold:
		return reportedOrCleared(n.Aspect, n.Present) + ": davon kam von der Zentrale nichts."
	case ask.BatteryMayBeOff:
		return "Der Akku wurde vor der Unterbrechung abgeklemmt und ist es vielleicht noch: Ohne Netz ist die " +
			"Anlage stromlos."
	case ask.BatteryStillOff:
		return "DER AKKU IST NOCH ABGEKLEMMT: Ohne Netz ist die Anlage stromlos, bis er wieder angeklemmt ist."
	case ask.NotBoth:
		return "Netz und Akku dürfen nicht zugleich weg sein. Zuerst: " + l.Say(n.First)
	}
	return ""
}

// faultStatement says what is the matter with how a fault of the supply is reported.
func (l Language) faultStatement(p words.Phrase) string {
	switch p := p.(type) {
	case judge.FaultSilent:
		text := fmt.Sprintf("%s nie gemeldet in der Zeit (%s), in der "+
			"%s", germanAspects[p.Aspect], l.Duration(p.Lasted),
			cause(p.Aspect, true))
		switch {
		case p.Cut:
			return text + "; eine Meldung kann verpasst worden sein"
		case p.Short:
			return text + "; länger wurde nicht gewartet"
		case p.Open:
			return text + "; binnen welcher Zeit sie kommen muss, ist nicht angegeben"
		}
		return text
	case judge.FaultLate:
		return fmt.Sprintf("%s gemeldet %s, nachdem %s, Grenze %s (%s)", germanAspects[p.Aspect], l.seconds(p.After),
			cause(p.Aspect, true),
			l.Duration(p.Limit.Duration()), l.Say(p.Limit))
	case judge.FaultUndecided:
		return fmt.Sprintf("%s gemeldet höchstens %s, nachdem %s, zu nahe an der Grenze von %s (%s) oder nicht "+
			"genau genug bekannt",
			germanAspects[p.Aspect], l.seconds(p.AtMost), cause(p.Aspect, true),
			l.Duration(p.Limit.Duration()), l.Say(p.Limit))
	case judge.FaultBefore:
		return germanAspects[p.Aspect] + " schon gemeldet, bevor " + cause(p.Aspect, true) + ": Die Meldung " +
			"beweist nichts"
	case judge.FaultStays:
		if p.Since == 0 {
			return germanAspects[p.Aspect] + " noch angezeigt, nachdem " + cause(p.Aspect, false)
		}
		return fmt.Sprintf("%s noch gemeldet, %s, nachdem %s", germanAspects[p.Aspect], l.Duration(p.Since),
			cause(p.Aspect, false))
	case judge.FaultLapsed:
		return germanAspects[p.Aspect] + " als beendet gemeldet, lange bevor " + cause(p.Aspect, false)
	case judge.FaultNotSeen:
		if p.Waited > 0 {
			return fmt.Sprintf("%s: nirgends eine Meldung gesehen in der Zeit (%s), in der "+
				"%s", germanAspects[p.Aspect],
				l.Duration(p.Waited), cause(p.Aspect, true))
		}
		return germanAspects[p.Aspect] + ": keine Meldung gesehen"
	case judge.BatteryStillOff:
		return "der Akku ist noch abgeklemmt"
	case judge.NotChargingSeen:
		return "nach der Anzeige lädt der Akku nicht"
	case judge.ChargingSeen:
		return "Laden nur an einer Anzeige gesehen, nicht gemessen"
	}
	return ""
}

// seconds is a time since something was done by hand.
func (l Language) seconds(d time.Duration) string { return l.Duration(d.Round(time.Second)) }

var germanFaultResults = map[record.Result]string{
	record.AtController: "an der Zentrale angezeigt, und wieder weg",
	record.AtCentre:     "bei der Alarmempfangsstelle eingegangen, mit Ende",
	record.NotCleared:   "angezeigt, nicht gelöscht",
	record.NotSeen:      "nicht gesehen",
	record.AsTold:       "wie die Zentrale meldete",
}

var germanFaultLaws = map[record.Law]string{
	record.LawFaultCause: "ob eine Störung der Versorgung gemeldet wurde, sagt man erst, wenn ihre Ursache " +
		"herbeigeführt und beendet ist",
	record.LawFaultAsked: "was die Zentrale von ihrer Versorgung meldet, beantwortet kein Mensch, und gemeldet " +
		"ist nichts, wo sie nichts meldet",
	record.LawBatteryInTurn: "Netz und Akku sind nicht zugleich weg",
}

var germanFaultShown = map[judge.FaultShown]string{
	judge.FaultReported:   "gemeldet, gelöscht",
	judge.FaultNotCleared: "nicht gelöscht",
	judge.FaultNever:      "nie gemeldet",
	judge.FaultTooLate:    "zu spät",
	judge.FaultUnclear:    "unentschieden",
	judge.FaultUnseen:     "nicht gesehen",
	judge.FaultNotTested:  "nicht geprüft",
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
		return "nie"
	case n.Early:
		return "bevor gesagt wurde, dass " + cause(n.Aspect, n.Present)
	case n.Kept:
		return "als niemand zuhörte, höchstens " + l.seconds(n.AtMost) + ", nachdem " + cause(n.Aspect, n.Present)
	case n.AtMost-n.After > time.Second:
		return fmt.Sprintf("von %s bis %s, nachdem %s", l.seconds(n.After), l.seconds(n.AtMost),
			cause(n.Aspect, n.Present))
	}
	return fmt.Sprintf("%s s, nachdem %s", l.Number(n.After.Seconds(), 1), cause(n.Aspect, n.Present))
}
