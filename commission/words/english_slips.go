package words

import (
	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// ofSlips says what was corrected or undertaken.
func (l English) ofSlips(p Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Field:
		return englishFields[p], true
	case record.Action:
		if p == record.PutRight {
			return "put right, and tested again", true
		}
		return quoted(string(p)), true
	case ask.ToUndertake:
		return englishUndertakings[p.Ask], true
	case ask.UndertakenSo:
		return l.undertaken(p), true
	}
	return "", false
}

var englishFields = map[record.Field]string{
	record.NameField:        "name",
	record.LicenceField:     "licence or registration",
	record.CalledField:      "how who refused is named",
	record.PositionField:    "position, or what was said",
	record.RemarkField:      "remark or reason",
	record.NoteField:        "note",
	record.InstrumentField:  "instrument",
	record.CalibratedField:  "calibrated until",
	record.UncertaintyField: "uncertainty",
	record.CaptionField:     "caption",
	record.ActionField:      "action",
	record.DayField:         "by what day",
	record.WhoField:         "by whom",
	record.ValueField:       "value beside a line",
}

var englishUndertakings = map[ask.Undertaking]string{
	ask.WhatUndertaking:        "What is done about it?",
	ask.DayUndertaking:         "By what day?",
	ask.WhoUndertaking:         "By whom?",
	ask.LimitationsUndertaking: "Limitations about which something is done as well, by their numbers",
}

func (l English) undertaken(u ask.UndertakenSo) string {
	text := u.ID + " to do: "
	if u.Undertaken.Action == "" {
		text += "not said what"
	} else {
		text += l.Say(u.Undertaken.Action)
	}
	if u.Undertaken.By != "" {
		text += ", by " + u.Undertaken.By
	}
	if u.Undertaken.Who != "" {
		text += ", " + u.Undertaken.Who
	}
	return text
}
