package german

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/words"
)

// germanWords are what is typed for codes; any other code is typed as it is.
var germanWords = map[typed.Word]string{
	"yes": "ja", "no": "nein", "y": "j",
	"done": "erledigt", "not applicable": "entfällt", "defect": "mangel", "not tested": "nicht geprüft",
	"works": "geht", "fails": "geht nicht", "as it is": "so lassen", "again": "nochmal", "note": "notiz",
	"redo": "wiederholen", "back": "liste", "leave": "verlassen", "pause": "pause", "other": "anderer", "none": "keine",
	"open": "offen", "never": "nie", "value": "wert", "sign": "unterschreiben",
	"accept": "annehmen", "refuses": "verweigert", "absent": "abwesend", "strike": "streichen", "begin": "beginnen",
	"energise": "einschalten", "not measured": "nicht gemessen", "not known": "unbekannt", "restart": "neustart",
	"as sampled": "wie erfasst", "measured": "gemessen", "not yet": "noch nicht", "nothing came": "nichts kam",
	"one by one": "einzeln nacheinander", "not at rest": "nicht in ruhe", "right": "richtig",
	"at the controller": "an der zentrale", "at the centre": "bei der stelle", "not cleared": "steht noch",
	"not seen": "nicht gesehen", "direct": "gleich", "alternating": "wechsel", "later": "später",
	"rest": "rest", "each": "einzeln", "all": "alle",
	"keep": "behalten", "take": "übernehmen", "resume": "fortsetzen", "beside": "daneben", "discard": "beiseite",

	"ready": "bereit", "indicated": "angezeigt", "at-rest": "ruhe", "heard": "gehört", "silent": "stumm",
	"skip": "auslassen", "ohms": "ohm", "jump": "springen", "look": "ansehen", "stopped": "aufgehört", "quiet": "ausschalten",
	"count": "zählen", "roam": "rundgang", "in-order": "reihenfolge", "touch": "jetzt", "not-that": "nicht der",
	"room": "raum fertig", "begun": "begonnen", "set": "scharf", "opened": "geöffnet", "alarm": "alarm",
	"sounds": "tönt", "flashes": "blitzt", "unset": "unscharf", "cannot": "geht hier nicht", "hush": "sofort aus",
	"finish": "fertig", "forget": "vergessen", "take-back": "zurückholen", "pairing": "koppeln", "page": "seite",

	"at": "in", "over": "über", "class": "klasse", "resistor": "widerstand", "shorted": "kurzgeschlossen",

	"red": "rot", "black": "schwarz", "green": "grün", "white": "weiß", "blue": "blau", "brown": "braun",
	"yellow": "gelb", "grey": "grau", "green-yellow": "grün-gelb", "violet": "violett", "pink": "rosa", "bare": "blank",
}

// ofWords says the words that a person types, and why an answer is refused.
func (l Language) ofWords(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.Word:
		return l.word(string(p)), true
	case typed.NoKey:
		return fmt.Sprintf("%s gibt es hier nicht; möglich: %s", quoted(p.Text), strings.Join(p.Words, ", ")), true
	case ask.Refused:
		return l.refused(p), true
	}
	return "", false
}

// word is what is typed for a code.
func (Language) word(code string) string {
	if word := germanWords[typed.Word(code)]; word != "" {
		return word
	}
	return code
}

// listed are the words for codes.
func (l Language) listed(codes []string) string {
	var all []string
	for _, code := range codes {
		all = append(all, l.word(code))
	}
	return strings.Join(all, ", ")
}

func (l Language) refused(r ask.Refused) string {
	switch r.Why {
	case ask.NothingTyped:
		return "hier braucht es eine Antwort"
	case ask.TooLong:
		return fmt.Sprintf("länger als %d Byte; bitte kürzen", r.Number)
	case ask.NoQuantity:
		return l.noQuantity(r.Quantity)
	case ask.TwoReadings:
		return fmt.Sprintf("%s lässt sich auf zwei Arten lesen; mit Punkt für Dezimalstellen: %s, oder ohne Zeichen: %s",
			quoted(r.Text), r.Takes[0], r.Takes[1])
	case ask.TwoSigns:
		return quoted(r.Text) + " hat mehr als ein Dezimalzeichen; nur das der Dezimalstellen schreiben"
	case ask.IsNegative:
		return "der Wert kann nicht negativ sein"
	case ask.OnForLess:
		return "eingeschaltet war es nur " + r.Text
	case ask.NoLevel:
		return "Pegel und Abstand schreiben, zum Beispiel 96 dB in 3 m"
	case ask.NoConductor:
		return quoted(r.Text) + " ist kein Leiterquerschnitt; zum Beispiel 0,22 mm2, 22 AWG"
	case ask.NoCable:
		return "Anzahl der Adern (1 bis 50), ihre Farben und hinter einem Schrägstrich die Beschriftung schreiben: " +
			"4 rot schwarz grün weiß / Flur"
	case ask.NoCableValues:
		return "Schleife, Isolation zwischen den Adern und gegen Erde schreiben, zum Beispiel: 12,4 ohm >200 Mohm >200 " +
			"Mohm; mit dem Widerstand am fernen Ende: widerstand 4,71k >200 Mohm >200 Mohm; offen für eine offene Schleife, " +
			"keine für nicht Gemessenes"
	}
	return l.refusedElse(r)
}

func (l Language) refusedElse(r ask.Refused) string {
	switch r.Why {
	case ask.NoDay:
		return "Jahr-Monat-Tag schreiben, zum Beispiel 2027-03-01"
	case ask.DayPast:
		return "der Tag ist vorbei; " + r.Text + " oder später"
	case ask.DayFar:
		return "der Tag liegt zu weit in der Zukunft; " + r.Text + " oder früher"
	case ask.NoTime:
		return quoted(r.Text) + " ist keine Uhrzeit; zum Beispiel 14:05"
	case ask.NoSuchName:
		return quoted(r.Text) + " gibt es nicht; möglich: " + strings.Join(r.Takes, ", ")
	case ask.WholeWord:
		return "das ganze Wort eingeben: " + l.word(ask.Yes) + " oder " + l.word(ask.No)
	case ask.OneOfThese:
		return "möglich ist: " + l.listed(r.Takes)
	case ask.NotOnList:
		return fmt.Sprintf("%s steht nicht auf der Liste; Nummern der Liste eingeben, oder: %s", quoted(r.Text),
			l.listed(r.Takes))
	case ask.NotOnBoard:
		return quoted(
			r.Text,
		) + " steht nicht auf der Übersicht; eine Nummer eingeben, zum Beispiel " + strings.Join(
			r.Takes,
			", ",
		)
	case ask.NoWholeNumber:
		return fmt.Sprintf("eine ganze Zahl von 0 bis %d schreiben", r.Number)
	case ask.NoPicture:
		return "ein Bild ist hier keine Antwort"
	case ask.NoDrawing:
		return "eine Zeichnung ist hier keine Antwort"
	}
	return "hier braucht es ein Bild"
}

// germanDimensions are kinds of quantities, by their English names.
var germanDimensions = map[string]string{
	checks.Length.Name: "keine Länge", checks.Current.Name: "kein Strom", checks.Voltage.Name: "keine Spannung",
	checks.Capacity.Name: "keine Akkukapazität", checks.Energy.Name: "keine Energie",
	checks.Apparent.Name: "keine Scheinleistung", checks.Frequency.Name: "keine Frequenz", checks.Time.Name: "keine Zeit",
	checks.Temperature.Name: "keine Temperatur", checks.Resistance.Name: "kein Widerstand",
	checks.Area.Name: "kein Leiterquerschnitt", checks.SoundLevel.Name: "kein Schallpegel", checks.Ratio.Name: "kein Anteil",
}

func (l Language) noQuantity(q *checks.Refusal) string {
	why := ""
	switch q.Why {
	case checks.OutOfRange:
		low, high := q.Of.Range()
		why = fmt.Sprintf(
			" (möglich von %s bis %s %s)",
			l.Number(low, words.AsNeeded),
			l.Number(high, words.AsNeeded),
			q.Of.SI,
		)
	case checks.LargerFirst:
		why = " (die größere Einheit zuerst)"
	case checks.NoUnit:
		why = " (die Einheit fehlt)"
	case checks.OtherUnit:
		why = fmt.Sprintf(" (%s ist keine Einheit dafür)", quoted(q.Unit))
	}
	return fmt.Sprintf("%s ist %s%s; zum Beispiel %s", quoted(q.Text), germanDimensions[q.Of.Name], why,
		l.quantity(q.Of.Examples))
}
