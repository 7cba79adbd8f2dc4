package words

var englishNotes = map[Note]string{
	DeclaredNote: "Standard, grade and class are printed as the installer declares them; nothing on this page " +
		"judges them.",
	NoneNote: "None.",
	MarksNote: "F: a finding, to be put right and tested again. L: a limitation of what this certificate " +
		"shows.",
	NoDetectorNote: "No detector was part of this visit.",
	OnStandbyNote: "Operated again for the time without mains, one detector of each powered kind (the first " +
		"detector where none is powered):",
	SupplyRuleNote: "Measured at the controller's supply terminals. Rule: a reading is held against its limit with " +
		"its expanded uncertainty (k = 2; the meter's and that of the last digit read) as a guard band (JCGM 100, 106).",
	SampledNote:   "by the controller's own measurement",
	NotStatedNote: "n/s: the uncertainty was not stated; the reading was held against its limit as if exact.",
	PathOffMainsNote: "The router or gateway on the way off the premises had lost mains as well and went on " +
		"working.",
	PathOnMainsNote: "The router or gateway on the way off the premises stayed on mains: see the limitations.",
	NoPathNote:      "No router or gateway stands between the controller and whoever is told.",
	OutputsNote: "Heard and seen by the technician; sound levels and currents as measured, uncertainty not " +
		"stated.",
	ComputedNote: "From the site file as declared and the readings of this visit. Where the site file says " +
		"nothing: copper and battery at 20 °C, ageing 1.25, capacity stated for 20 h, Peukert exponent 1.15 (lead-acid) " +
		"or 1.05 (lithium-ion), a pack of 11.1 V through a converter of 90 %; common practice. Loops: Kirchhoff, seen " +
		"from the controller's terminals, resistors within 5 % and without cable where the file does not give them.",
	ChecklistNote: "Inspected and asked, not measured. n. a.: not applicable, for the reason given.",
	PhotographsNote: "Each is attached to this file in its full size. The time of taking is that of the camera's " +
		"clock.",
	TechnicianNote: "The technician confirms that the work described was done with reasonable skill and care.",
	CustomerNote: "As the technician entered it: the customer's representative was shown the findings and " +
		"limitations and accepts those listed by number beside the name. That acceptance repairs nothing; a drawn " +
		"signature is a picture that the technician supplied.",
	ThrowAwayNote: "a throw-away key: made for this demonstration, kept nowhere. It proves nothing about who made " +
		"this.",
	NobodySealedNote: "nobody. Nothing shows who made this file, or whether it was changed since.",
	ReaderNote: "A PDF reader that shows signatures tells whether the file was changed since it was " +
		"signed.",
	FollowNote: "The program loopwitness checks all of it, without any key or account: loopwitness verify " +
		"FILE. It judges the attached journal again and compares each verdict, figure and mark with these pages.",
	KeyNote: "Key is the SHA-256 of the signing certificate. Compare it with what the installer gave you by " +
		"another way than this file, or name a certificate that you trust: loopwitness verify --trust CERTIFICATE FILE. " +
		"Anybody can write any name into a key.",
	PaperNote:         englishPaper + " and the key, too.",
	PaperUnsignedNote: englishPaper + ", too.",
	TruthNote:         "No check shows that what was recorded is true: that rests on who recorded it.",
}

const englishPaper = "A paper copy: the beginning of Journal stands at the foot of every page, all of it above and " +
	"in the code. With loopwitness verify --fingerprint DIGITS FILE you see whether a file holds the same journal; compare " +
	"the revision"
