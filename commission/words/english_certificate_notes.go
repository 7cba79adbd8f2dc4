package words

var englishNotes = map[Note]string{
	FaultsNote: "Times run from when it was said that mains was removed or back, or the battery disconnected or " +
		"connected again; it was done up to some seconds before.",
	DeclaredNote: "Standard, grade and class are printed as the installer declares them; nothing on this page " +
		"judges them.",
	NoneNote: "None.",
	UnshownNote: "‹…›: letters of a script, or a symbol, that these pages cannot show. The attached record has them as " +
		"they were typed.",
	FrontShowsNote: "What the list of page one shows whole is not repeated here.",
	MarksNote: "F: a finding, to be put right and tested again. L: a limitation of what this certificate shows. N: a " +
		"standing note, which limits nothing. Danger: act now. To do: to be put right, or tested. Advice: worth knowing, " +
		"or still to be shown. The gravest stand first.",
	NoDetectorNote: "No detector was part of this visit.",
	OnStandbyNote: "To be operated again for the time without mains, one detector of each powered kind (the first " +
		"detector where none is powered):",
	SupplyRuleNote: "Voltages at the controller's supply terminals, as the technician read them; limits with who " +
		"says so.",
	NotStatedNote:    "Not stated: the uncertainty is not known; the reading was held against its limit as if exact.",
	PathOffMainsNote: "The router or gateway on the way off the premises was off mains as well, as the technician says.",
	PathOnMainsNote:  "The router or gateway on the way off the premises stayed on mains: see the limitations.",
	NoPathNote:       "No router or gateway stands between the controller and whoever is told, as the technician says.",
	BankNote: "Where several detectors share a zone and the technician operated them in their own order, which of them " +
		"was operated is as the technician said: the controller reports the zone.",
	OutputsNote: "Heard and seen: as the technician answered. Levels and currents stand as they were typed; what they " +
		"show is computed below.",
	ComputedNote: "From the site file as declared and the readings of this visit. Assumed: the site file says " +
		"nothing, and a usual value of ours counts; what holds by it alone is undecided.",
	LoopsNote: "For whoever comes next: what an ohmmeter should read with the loop disconnected, seen from the " +
		"controller's terminals; resistors within 5 % and without cable where the site file does not give them.",
	GuardNote: "How limits are applied: a value is held against its limit with its expanded uncertainty (k = 2) as a " +
		"guard band (JCGM 106); that of a voltage is the meter's and that of the last digit read (JCGM 100). Closer to " +
		"the limit than that is undecided.",
	LooksNote:     englishLooksNote,
	ChecklistNote: "As the technician answered; nothing of it was measured. n. a.: not applicable, for the reason given.",
	SampledNote:   "by the controller's own measurement",
	PhotographsNote: "Each is attached to this file in its full size. The time of taking is that of the camera's " +
		"clock.",
	TechnicianNote: "With the name, the technician says: what this record tells of was done with skill and care, and " +
		"seen and read as it tells.",
	CustomerNote: "As the technician entered it: the customer's representative was shown the findings and " +
		"limitations and accepts those listed by number beside the name. That acceptance repairs nothing.",
	PictureNote: "A drawn signature is a picture that the technician supplied.",
	GlassNote: "A signature in lines was drawn on the glass of the phone; nothing in this file shows whose hand drew " +
		"it.",
	TouchesNote: "The instant of each touch and count, in the time of day on the premises, and between which bounds " +
		"the clock of this program was ahead of the phone's:",
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
	"in the code. With loopwitness verify --fingerprint DIGITS FILE you see whether a file holds the same journal; " +
	"compare the revision"
