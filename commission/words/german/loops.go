package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

func (l Language) loopFormula(r judge.LoopRow) string {
	text := "Kirchhoff, Widerstände ± " + assumed(percent(r.Tolerance), " %")
	if r.Cable > 0 {
		return text + ", Kabel ± 20 %"
	}
	return text + ", Kabel nicht bekannt: eines von " + l.unknownRun() + " darf dazukommen"
}

func percent(share judge.Assumable) judge.Assumable {
	share.Value *= 100
	return share
}

func (l Language) loop(row *words.Row, r judge.LoopRow, v checks.Ruling) {
	row.Inputs, row.Limit = l.reading(r.Measured)+", "+l.Say(r.Wiring), "in Ruhe: normal"
	if r.Cable > 0 {
		row.Inputs += fmt.Sprintf(", %s mit %s: %s Ω", l.run(r.Length), l.conductor(r.Conductor), l.Number(r.Cable, 1))
	}
	row.Result = loopStates(r.States)
	switch {
	case len(r.States) == 0:
		row.Result = "durch keinen Zustand dieser Linie zu erklären"
		row.Change = "suchen Sie nach einem falschen oder weiteren Widerstand oder einer schlechten Verbindung"
	case v == checks.Fail:
		row.Change = "vergleichen Sie die Verdrahtung mit der Objektdatei; suchen Sie nach einem Kontakt, der " +
			"nicht in Ruhe ist"
	case v == checks.Undecided:
		row.Result += ", soweit Kabel und Widerstände nicht bekannt sind"
	}
}

var germanLoopStates = map[checks.LoopState]string{
	checks.LoopNormal:  "normal",
	checks.LoopActive:  "aktiv",
	checks.LoopFault:   "Störung",
	checks.LoopShorted: "kurzgeschlossen",
	checks.LoopCut:     "unterbrochen",
}

func loopStates(states []checks.LoopState) string {
	var names []string
	for _, s := range states {
		names = append(names, germanLoopStates[s])
	}
	return strings.Join(names, " oder ")
}

// loopMeans says at once what a reading at a detector shows.
func loopMeans(reading string, m judge.LoopMeaning) string {
	reading = Language{}.quantity(reading)
	switch {
	case m.Ruling == checks.Pass && len(m.States) == 1:
		return reading + ": in Ruhe, wie es sein soll."
	case m.Ruling == checks.Pass:
		return fmt.Sprintf("%s: in Ruhe, wie es sein soll; denselben Wert ergäbe: %s.", reading, besides(m.States))
	case m.Ruling == checks.Undecided:
		return reading + ": in Ruhe, falls Kabel und Widerstände das erklären. Die Objektdatei sagt zu wenig darüber."
	case len(m.States) == 0:
		return reading + ": durch keinen Zustand dieser Linie zu erklären. Suchen Sie nach einem falschen oder " +
			"weiteren Widerstand oder einer schlechten Verbindung."
	case m.Opened == 1:
		return fmt.Sprintf("%s: So misst man es bei einem aktiven Kontakt (%s). Ist er in "+
			"Ruhe?", reading, loopStates(m.States))
	case m.Opened > 1:
		return fmt.Sprintf("%s: So misst man es bei %d aktiven Kontakten (%s). Sind sie in Ruhe?", reading, m.Opened,
			loopStates(m.States))
	}
	return fmt.Sprintf("%s: Zustand der Schleife: %s.", reading, loopStates(m.States))
}

// besides are the states beside rest.
func besides(states []checks.LoopState) string {
	var others []checks.LoopState
	for _, s := range states {
		if s != checks.LoopNormal {
			others = append(others, s)
		}
	}
	return loopStates(others)
}

func dropFormula(r judge.DropRow) string {
	from := "der niedrigsten zulässigen Versorgung unter Alarmlast"
	if r.Converter {
		from = "dem Ausgang des Wandlers"
	}
	text := "U = U_Versorgung − Σ 2·L·R′·I, ab " + from + ", flexibel angenommen"
	if r.After != "" {
		text += "; jedes Kabelstück trägt alle Melder dahinter"
	}
	return text
}

func (l Language) drop(row *words.Row, r judge.DropRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s V, %s mit %s (%s Ω, %s), %s", l.Number(r.Supply, words.AsNeeded),
		l.run(r.Length),
		l.conductor(r.Conductor), l.Number(r.Loop, 2), l.Say(r.Rule), l.quantity(r.Current))
	if carries := milli(r.Carries); carries != l.quantity(r.Current) {
		row.Inputs += ", " + carries + " mit denen dahinter"
	}
	if r.After != "" {
		row.Inputs += fmt.Sprintf(", nach %s, davor %s verloren", r.After, l.volt(r.Before))
	}
	row.Result, row.Limit = l.volt(r.Far), "mindestens "+l.quantity(r.Minimum)+", sein Mindestwert"
	switch {
	case v == checks.Pass:
	case v == checks.Undecided:
		row.Change = "ab 12 V wäre es eingehalten: Geben Sie die niedrigste Versorgung an, die hier gilt " +
			"(limits, alarm_load_lower)"
	case r.Hopeless:
		row.Change = "kein Kabel hilft: Der Melder braucht mehr als die niedrigste Versorgung"
	case r.After != "":
		row.Change = "speisen Sie ihn über ein eigenes Kabel, oder nehmen Sie ab der Zentrale ein dickeres"
	default:
		row.Change = "kürzen Sie die Strecke auf " + words.Metres(l.Units, r.Shorten, 0, l.Number)
		if r.Thicker != "" {
			row.Change += ", oder nehmen Sie " + l.conductor(r.Thicker)
		}
	}
}
