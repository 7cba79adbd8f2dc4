package words

import "loopwitness/commission/record"

// englishReadingLaws say what entries contradict in readings, texts, names and programmes.
var englishReadingLaws = map[record.Law]string{
	record.LawTypedLines: "a text is none that somebody can type in one line: it is broken, or holds characters that " +
		"cannot be seen, or is too long",
	record.LawTextsSeen:  "a text of a machine holds characters that cannot be seen",
	record.LawSiteFile:   "no visit begins with this site file",
	record.LawKnownCodes: "a text stands where this program knows codes only",

	record.LawValueAsTyped: "a value is not what was typed for it",
	record.LawOneInstrument: "a reading names another instrument, or another uncertainty, than the voltmeter " +
		"named before",
	record.LawInstrumentFirst: "a voltage was read before anybody said with what",
	record.LawInstrument:      "an instrument has no name, a calibration on no day, or an uncertainty below nothing",
	record.LawDoubts:          "a value that cannot well be was not confirmed, or one that can be was",
	record.LawFitsStep:        "a fact is told of a step that cannot have it",

	record.LawRemarks:     "an answer lacks the reason that it has to have, or has a remark that nobody asked for",
	record.LawPartAnswers: "a step was concluded otherwise than its questions were answered",
	record.LawStruck:      "a trial counts no more that there was not, or for no reason",
	record.LawUndertaking: "something is undertaken that is nothing, about nothing, or by no day",
	record.LawExtent:      "detectors are left out for no reason, or are none of the visit",
	record.LawFound:       "a value was found that its step does not ask for, or that is none",
	record.LawCorrected:   "a text is corrected that there is not, or for no reason",
	record.LawDays:        "something is to be done by a day before the visit, or calibrated for longer than ten years",
	record.LawNotes:       "a note says nothing",

	record.LawSignature:    "a name is missing or says nothing, or stands beside what it cannot have",
	record.LawSignedLast:   "somebody signed while steps were open",
	record.LawSignedInTurn: "the customer signed before the technician did",
	record.LawAccepted:     "somebody accepted what is no finding and no limitation of the visit",
	record.LawDrawing:      "a drawn signature is none",
	record.LawPhotograph:   "a photograph is none that this program keeps",
	record.LawLogo:         "the logo is not the one that the site file names",

	record.LawProgramme: "the programme has steps that the site does not give, or in another order",
	record.LawChecklist: "the visit has no checklist: nothing was looked at, nothing handed over",
	record.LawOpening:   "the number, or the visit that it follows, is none of such a visit",
}
