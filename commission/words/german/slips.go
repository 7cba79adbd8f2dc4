package german

import (
	"loopwitness/commission/words"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// ofSlips says what was corrected or undertaken.
func (l Language) ofSlips(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Field:
		return germanFields[p], true
	case record.Action:
		if p == record.PutRight {
			return "behoben und erneut geprüft", true
		}
		return quoted(string(p)), true
	case ask.ToUndertake:
		return germanUndertakings[p.Ask], true
	case ask.UndertakenSo:
		return l.undertaken(p), true
	}
	return "", false
}

var germanFields = map[record.Field]string{
	record.NameField:        "Name",
	record.LicenceField:     "Zulassung oder Registrierung",
	record.CalledField:      "wie genannt wird, wer verweigerte",
	record.PositionField:    "Funktion, oder was gesagt wurde",
	record.RemarkField:      "Bemerkung oder Grund",
	record.NoteField:        "freie Bemerkung",
	record.InstrumentField:  "Messgerät",
	record.CalibratedField:  "kalibriert bis",
	record.UncertaintyField: "Unsicherheit",
	record.CaptionField:     "Bildunterschrift",
	record.ActionField:      "Maßnahme",
	record.DayField:         "bis zu welchem Tag",
	record.WhoField:         "durch wen",
	record.ValueField:       "Wert neben einer Zeile",
}

var germanUndertakings = map[ask.Undertaking]string{
	ask.WhatUndertaking:        "Was wird dagegen getan?",
	ask.DayUndertaking:         "Bis zu welchem Tag?",
	ask.WhoUndertaking:         "Durch wen?",
	ask.LimitationsUndertaking: "Einschränkungen, gegen die auch etwas getan wird, mit ihren Nummern",
}

func (l Language) undertaken(u ask.UndertakenSo) string {
	text := u.ID + " zu tun: "
	if u.Undertaken.Action == "" {
		text += "nicht gesagt, was"
	} else {
		text += l.Say(u.Undertaken.Action)
	}
	if u.Undertaken.By != "" {
		text += ", bis " + l.day(u.Undertaken.By)
	}
	if u.Undertaken.Who != "" {
		text += ", durch: " + u.Undertaken.Who
	}
	return text
}
