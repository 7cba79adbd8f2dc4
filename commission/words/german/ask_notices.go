package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// ofNotice says what a technician is told.
func (l Language) ofNotice(p words.Phrase) (string, bool) {
	n, is := p.(ask.Notice)
	if !is {
		return "", false
	}
	if m, is := n.(ask.LoopMeans); is {
		return loopMeans(m.Reading, m.Means), true
	}
	for _, of := range []func(ask.Notice) string{l.trialNotice, l.connectionNotice, l.visitNotice, l.powerNotice,
		l.readingNotice, l.sampledNotice, l.faultNotice, l.guardNotice, l.journalNotice} {
		if text := of(n); text != "" {
			return text, true
		}
	}
	return "", false
}

func (l Language) trialNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.Proved:
		return fmt.Sprintf("%s nachgewiesen: gemeldet nach %s s, zurückgestellt nach %s s",
			n.Point, l.Number(n.Reported.Seconds(), 2), l.Number(n.Restored.Seconds(), 2))
	case ask.TrialShown:
		return fmt.Sprintf("%s %s: %s", n.Point, l.Say(n.Shown.Judgement.Verdict), l.Say(n.Shown))
	case ask.ChimeHeard:
		return fmt.Sprintf("%s gehört, %s s nach der Aufforderung. Bringen Sie die Linie wieder in Ruhe.", n.Output,
			l.Number(n.After.Seconds(), 1))
	case ask.TrialLost:
		return "Die Verbindung zur Zentrale riss ab oder stand still: Dieser Versuch zählt nicht. Er wird wiederholt."
	case ask.TrialAgain:
		return "Dieser Versuch wird wiederholt."
	case ask.Meanwhile:
		name := n.Address
		if n.Zone != nil {
			name = l.Say(*n.Zone)
		}
		return fmt.Sprintf("inzwischen %s: %s", name, germanStates[n.State])
	case ask.StrangerMeanwhile:
		return fmt.Sprintf("inzwischen meldete %s; die Objektdatei hat keine Linie mit dieser Adresse", n.Address)
	case ask.ElsewhereMeanwhile:
		return germanElsewhere(n.Zone)
	case ask.ZoneReports:
		return fmt.Sprintf("Linie %d meldet: %s", n.Zone, germanStates[n.State])
	case ask.ZoneGarbled:
		return fmt.Sprintf("Linie %d meldet %s, was controller.yaml nicht kennt", n.Zone,
			germanQuotes.Readable(n.Raw, "nichts"))
	case ask.StillActive:
		return "Die Linie dieses Melders meldet aktiv. Bringen Sie ihn erst in Ruhe; ist er in Ruhe, gehen Sie " +
			"trotzdem weiter: Er ist vielleicht verkehrt angeschlossen."
	case ask.TooSoon:
		return "Zu früh nach der Aufforderung, um es gesehen zu haben: Drücken Sie erneut, sobald die Zentrale es " +
			"anzeigt."
	case ask.NotPrinted:
		return "Die Prüfbescheinigung kann nicht alle diese Buchstaben zeigen: Sie druckt dafür ‹" +
			strings.Join(n.Scripts, "›, ‹") + "›. Geben Sie es noch einmal in lateinischen, griechischen, kyrillischen oder " +
			"hebräischen Buchstaben ein (wiederholen), oder geben Sie ihm in site.yaml einen zweiten Namen (printed)."
	case ask.SameMoment:
		return "Im selben Moment gemeldet; es wird beobachtet, ob es so bleibt."
	case ask.CueTooOld:
		return fmt.Sprintf("Diese Aufforderung gilt nicht mehr (%v). Sie wird wiederholt.", n.Why)
	case ask.Restarted:
		return "Die Zentrale meldete sich nach " + l.whole(n.After) + "."
	}
	return ""
}

func (Language) connectionNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.SignalsLost:
		return fmt.Sprintf("SIGNALE GINGEN VERLOREN: %d kamen schneller, als der Datenträger sie annimmt. Ein "+
			"Versuch, der "+
			"solange wartete, zählt nicht.", n.Signals)
	case ask.NoCue:
		return "Nicht verbunden: Es gibt keine Aufforderung."
	case ask.LostMeanwhile:
		return "Während Sie antworteten, riss die Verbindung zur Zentrale ab."
	case ask.CallsRefused:
		return germanRefused(n)
	case ask.EarLost:
		return germanLost(n.Ear)
	case ask.EarBack:
		return germanBack(n.Ear)
	case ask.NotConnected:
		return "NICHT MIT DER ZENTRALE VERBUNDEN. Sie erfahren, wenn sie wieder da ist."
	case ask.ConnectedAgain:
		return "Die Zentrale ist wieder verbunden; weiter."
	}
	return ""
}

var germanIntroductions = map[programme.Stage]string{
	programme.StageCables: "Messen und beschriften Sie die Kabel der älteren Anlage, bevor etwas daran " +
		"angeschlossen wird.",
	programme.StageInspection: "Sehen Sie nach, bevor etwas betätigt wird.",
	programme.StageWalkTest: "Betätigen Sie jeden Melder einzeln, dann lassen Sie ihn in Ruhe zurückkehren. Zeiten " +
		"laufen ab der Aufforderung.",
	programme.StageSupply:  "Messen Sie mit Netz, dann weisen Sie nach, dass die Anlage ohne Netz weiterläuft.",
	programme.StageOutputs: "Hören und sehen Sie, was die Anlage tut, und nehmen Sie die Zeiten.",
	programme.StageAlarm: "Ein echter Alarm: scharf schalten, eintreten, unscharf schalten, wieder scharf " +
		"schalten, auslösen; die Zeit von jedem, was folgt, wird genommen.",
	programme.StageHandOver: "Hinterlassen Sie die Anlage und ihren Nutzer bereit.",
	programme.StageSignOff:  "Namen unter das, was gefunden wurde.",
}

func (l Language) visitNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.StageBegins:
		return l.Say(n.Stage)
	case ask.StageIntroduced:
		return fmt.Sprintf("%d von %d Schritten offen. %s", n.Open, n.All, germanIntroductions[n.Stage])
	case ask.StepsOpen:
		if n.Open == 1 {
			return "1 Schritt ist noch offen. Schließen Sie ihn ab oder sagen Sie, warum er nicht geprüft wird, " +
				"bevor jemand unterschreibt."
		}
		return fmt.Sprintf("%d Schritte sind noch offen. Schließen Sie jeden ab oder sagen Sie, warum er nicht "+
			"geprüft "+
			"wird, bevor jemand unterschreibt.", n.Open)
	case ask.SignatureLapsed:
		return "Ein Schritt wurde wiederholt, nachdem jemand unterschrieben hatte: Diese Unterschrift zählt nicht mehr."
	case ask.AnsweredBefore:
		return l.Say(n.What) + ": " + n.Text + " (vor der Unterbrechung beantwortet)"
	case ask.SetAside:
		return brokenWrite(n.Bytes, n.Lines, n.Left) + " Es wurde in " + n.File + " beiseitegelegt."
	case ask.PracticeVoltmeter:
		return "Übung: Ein simuliertes Voltmeter tritt an die Stelle Ihres eigenen."
	}
	return ""
}

// brokenWrite says what a write that was broken off left behind the entries of a journal.
func brokenWrite(bytes, lines, left int) string {
	if lines == 0 {
		return fmt.Sprintf("Das Journal endet mit einer unfertigen Zeile (%d Bytes), wie nach einem Stromausfall. "+
			"Einträge davor, die zählen: %d.", bytes, left)
	}
	return fmt.Sprintf("Das Journal endet mit einem unfertigen Stück (%d Bytes), wie nach einem Stromausfall: Ein "+
		"Teil davon "+
		"fehlt, sodass auch GANZE ZEILEN (%d) hinter der Lücke nicht zählen. Einträge davor, die zählen: "+
		"%d.", bytes, lines, left)
}

func (l Language) powerNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.LoudCaution:
		return l.Say(judge.CautionSounder)
	case ask.MayBeOn:
		return "Vor der Unterbrechung eingeschaltet und vielleicht noch an: " + strings.Join(n.Outputs, ", ") +
			". Wird jetzt ausgeschaltet."
	case ask.SwitchOff:
		return "Schalten Sie " + n.Output + " jetzt AUS."
	case ask.StillOn:
		return n.Output + " IST NOCH AN. Schalten Sie diesen Ausgang an der Zentrale aus, oder klemmen Sie ihn ab."
	case ask.MakeSureOff:
		return n.Output + " wurde von Hand eingeschaltet: Stellen Sie sicher, dass dieser Ausgang AUS ist."
	case ask.NotSwitchedOn:
		return fmt.Sprintf("%s wurde nicht eingeschaltet (%v). Dieser Ausgang ist aus. Beheben Sie es und versuchen Sie es noch "+
			"einmal, oder lassen Sie die Prüfung aus und sagen Sie, warum.", n.Output, n.Why)
	case ask.NotSwitchedOff:
		return fmt.Sprintf("%s LIESS SICH NICHT AUSSCHALTEN (%v). Schalten Sie diesen Ausgang von Hand aus; es "+
			"wird weiter versucht, bis es "+
			"gelingt.", n.Output, n.Why)
	case ask.SwitchedOff:
		return n.Output + " ist jetzt ausgeschaltet."
	case ask.NotLoaded:
		return "Schon ausgeschaltet, bevor Sie antworteten: " + strings.Join(n.Outputs, ", ") +
			". Dieser Messwert zählt nicht. Er wird neu genommen."
	case ask.MainsMayBeOff:
		return "Vor der Unterbrechung wurde das Netz getrennt und ist es vielleicht noch: Seither trägt der Akku " +
			"die Anlage."
	case ask.MainsStillOff:
		return "DAS NETZ IST NOCH GETRENNT: Der Akku trägt die Anlage, bis das Netzteil wieder eingesteckt ist."
	}
	return ""
}
