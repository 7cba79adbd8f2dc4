package german

import (
	"loopwitness/commission/words"

	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

func (l Language) lastTrial(p words.LastTrial) string {
	var earlier []string
	for _, e := range p.Earlier {
		earlier = append(earlier, l.Say(e))
	}
	text := fmt.Sprintf("%s in Versuch %d von %d; davor: %s", l.Say(words.RuledTrial(p.Verdict)), p.Trial, p.Trials,
		strings.Join(earlier, ", "))
	if len(p.Mended) > 0 {
		text += ", behoben: " + germanQuotes.All(p.Mended)
	}
	return text
}

func (l Language) earlierTrial(p words.EarlierTrial) string {
	text := l.Say(words.RuledTrial(p.Verdict).Shortly())
	if p.WhenRestored {
		text += " beim Zurückstellen"
	}
	if p.Reported {
		text += " (betätigt: " + l.Number(p.Operated.Seconds(), 2) + " s)"
	}
	return text
}

func (l Language) responseTimes(s judge.Summary) string {
	seconds := func(v float64) string { return l.Number(v, 2) + " s" }
	if s.N == 1 {
		return "Ansprechzeit von 1 Melder in seinem letzten Versuch: " + seconds(s.Max) + "; längste Grenze " +
			seconds(s.Limit) + "."
	}
	text := fmt.Sprintf("Ansprechzeiten von %d Meldern, je im letzten Versuch: Median %s, ", s.N, seconds(s.P50))
	if s.Percentiles() {
		text += fmt.Sprintf("90 %% bis %s, 95 %% bis %s, ", seconds(s.P90), seconds(s.P95))
	}
	return text + "längste " + seconds(s.Max) + "; längste Grenze " + seconds(s.Limit) + "."
}

func (l Language) timesInFull(s judge.Summary) string {
	seconds := func(v float64) string { return l.Number(v, 2) + " s" }
	text := fmt.Sprintf("Ansprechzeiten: %d Werte, Mittelwert %s", s.N, seconds(s.Mean))
	if !math.IsNaN(s.StandardDeviation) {
		text += ", Standardabweichung " + seconds(s.StandardDeviation)
	}
	text += ". Arten, deren Ansprechen vom Prüfmittel abhängt, wie Rauch, sind ausgelassen. "
	switch {
	case s.Bounded():
		text += "Perzentile nach p(N+1), Hyndman–Fan 6. Wenn Melder einander gleichen, liegen 95 % der " +
			"Ansprechzeiten höchstens beim größten dieser Werte, mit einem Vertrauensniveau von 95 % (59 Werte " +
			"oder mehr; Wilks)."
	case s.Percentiles():
		text += "Perzentile nach p(N+1), Hyndman–Fan 6. Weniger als 59 Werte geben keine Schranke des 95. " +
			"Perzentils mit einem Vertrauensniveau von 95 % (Wilks)."
	default:
		text += "Bei weniger als 20 Werten wird kein 95. Perzentil genannt: Es wäre der größte."
	}
	return text
}

func operations(o judge.Operations) string {
	text := fmt.Sprintf("%d-mal betätigt, %d-mal gemeldet; ", o.Operated, o.Reported)
	switch missed := o.Operated - o.Reported; {
	case missed == 0:
		text += "keine Meldung blieb aus"
	case o.Mended == missed:
		text += fmt.Sprintf("ausgeblieben: %d, seither behoben und nachgewiesen", missed)
	case o.Mended > 0:
		text += fmt.Sprintf("ausgeblieben: %d, davon %d vor einer nachgewiesenen Reparatur", missed, o.Mended)
	default:
		text += fmt.Sprintf("ausgeblieben: %d", missed)
	}
	text += fmt.Sprintf("; wiederholt: %d", o.Repeated)
	switch {
	case o.OnStandby > 0 && o.OnStandby == o.Repeated:
		text += ", ohne Netz"
	case o.OnStandby > 0:
		text += fmt.Sprintf(", davon %d ohne Netz", o.OnStandby)
	}
	if o.Struck > 0 {
		text += "; " + count(o.Struck, "Versuch wurde gestrichen und zählt nicht",
			"Versuche wurden gestrichen und zählen nicht")
	}
	return text + "."
}

func (l Language) boundsNote(confidence float64) string {
	percent := l.Number(100*confidence, 0) + " %"
	return "Mindestens: der Anteil der Betätigungen, den der Melder meldet, nach dem, was erprobt wurde, mit einem " +
		"Vertrauensniveau von " + percent + " (einseitig, exakt binomial, Clopper–Pearson). Vorausgesetzt: " +
		"Betätigungen desselben Melders gleichen einander und hängen nicht voneinander ab. Was vor einer Reparatur " +
		"ausblieb, zählt nicht, ebenso wenig, was gestrichen wurde. Eine kleine Zahl nach wenigen Betätigungen " +
		"sagt, wie wenige es waren, nicht, dass der Melder schlecht ist. Einmal betätigte Melder fehlen in der " +
		"Tabelle: Eine Betätigung ergibt keine Zahl, die hilft."
}

func (l Language) howTimed(p words.HowTimed) string {
	by := p.By
	bound := " Eine Zeit läuft von der Aufforderung bis zum Signal und enthält den Verzug des Technikers: Wer " +
		"langsam ist, verlängert sie, wer sich vor der Aufforderung bewegt, verkürzt sie."
	if by.ByHand {
		bound = " Eine Zeit läuft von der Aufforderung bis zur Taste und enthält den Verzug des Technikers beim " +
			"Betätigen und beim Drücken: Wer langsam ist, verlängert sie, wer sich vor der Aufforderung bewegt " +
			"oder zu früh drückt, verkürzt sie."
	}
	if p.Again {
		bound = ""
	}
	return fmt.Sprintf("Wie die Zeiten%s genommen wurden: %s, %s; Unsicherheit ± %s s (k = 2).%s",
		germanOfZones(p.Zones), l.Say(by.Way), l.Say(by.TimedBy),
		l.Number(float64(by.UncertaintyNS)/1e9, 2), bound) + l.howHeard(by)
}

func (l Language) chimeTrial(p words.ChimeTrial) string {
	switch {
	case !p.Tried:
		return fmt.Sprintf("Linie %d: nicht erprobt", p.Zone)
	case p.Reported == 0 && !p.Works:
		return fmt.Sprintf("Linie %d zu öffnen, nicht gemeldet", p.Zone)
	}
	text := fmt.Sprintf("Linie %d", p.Zone)
	if p.Reported > 0 {
		text += " geöffnet, gemeldet nach " + l.Number(p.Reported.Seconds(), 2) + " s"
	} else {
		text += " zu öffnen, nicht gemeldet"
	}
	if p.Works {
		text += ", gehört nach " + l.Number(p.Heard.Seconds(), 1) + " s (von Hand)"
	}
	return text
}

// observed is what becomes of an output that works, and of one that fails.
func observed(kind site.OutputKind, r record.Result) string {
	verb := "gehört"
	if kind == site.Strobe {
		verb = "gesehen"
	}
	if r == record.Fails {
		return "nicht " + verb
	}
	return verb
}

func (l Language) outputTrial(p words.OutputTrial) string {
	if p.Result == record.LeftOut {
		if p.Energised {
			return "eingeschaltet, nicht beantwortet"
		}
		return "nicht erprobt"
	}
	text := observed(p.Kind, p.Result)
	if p.Energised {
		text = "eingeschaltet, " + text
	}
	if p.On > 0 {
		text += ", aus nach " + l.Duration(p.On.Round(100*time.Millisecond))
	}
	if p.Because != "" {
		text += " (" + l.Say(p.Because) + ")"
	}
	if p.After {
		text += ", beantwortet nach dem Ausschalten"
	}
	return text
}

var germanOffReasons = map[record.OffBecause]string{
	record.OffPhoneSilent: "das Telefon war außer Reichweite",
	record.OffQuiet:       "vom Techniker ausgeschaltet",
	record.OffGuardLost:   "was sonst ausgeschaltet hätte, war weg",
	record.OffTimeUp:      "die Zeit war um",
	record.OffRefused:     "von der Zentrale nicht eingeschaltet",
}

func (l Language) cutOffSaid(p words.CutOffSaid) string {
	declared, observed := l.quantity(p.Declared), l.quantity(p.Observed)
	switch {
	case declared == "" && observed == "":
		return "Selbstabschaltung weder angegeben noch beobachtet"
	case observed == "":
		return "Selbstabschaltung nach " + declared + " angegeben, nicht beobachtet"
	case declared == "":
		return "Selbstabschaltung nach " + observed + " beobachtet"
	}
	return "Selbstabschaltung nach " + declared + " angegeben, nach " + observed + " beobachtet"
}
