package german

import "loopwitness/commission/words"

var germanNotes = map[words.Note]string{
	words.FaultsNote: "Times run from when it was said that mains was removed or back, or the battery disconnected or " +
		"connected again; it was done up to some seconds before.",
	words.DeclaredNote: "Standard, grade and class are printed as the installer declares them; nothing on this page " +
		"judges them.",
	words.UnshownNote: "‹…›: Buchstaben einer Schrift, oder ein Zeichen, die diese Seiten nicht zeigen können. Die angehängte " +
		"Aufzeichnung hat sie, wie sie eingegeben wurden.",
	words.NoneNote: "None.",
	words.MarksNote: "F: a finding, to be put right and tested again. L: a limitation of what this certificate shows. N: a " +
		"standing note, which limits nothing. Danger: act now. Fault: to be put right, or tested. Advice: worth knowing, " +
		"or still to be shown. The gravest stand first.",
	words.NoDetectorNote: "No detector was part of this visit.",
	words.OnStandbyNote: "To be operated again for the time without mains, one detector of each powered kind (the first " +
		"detector where none is powered):",
	words.SupplyRuleNote: "Voltages at the controller's supply terminals, as the technician read them; limits with who " +
		"says so.",
	words.NotStatedNote:    "Not stated: the uncertainty is not known; the reading was held against its limit as if exact.",
	words.PathOffMainsNote: "The router or gateway on the way off the premises was off mains as well, as the technician says.",
	words.PathOnMainsNote:  "The router or gateway on the way off the premises stayed on mains: see the limitations.",
	words.NoPathNote:       "No router or gateway stands between the controller and whoever is told, as the technician says.",
	words.BankNote: "Where several detectors share a zone and the technician operated them in their own order, which of them " +
		"was operated is as the technician said: the controller reports the zone.",
	words.OutputsNote: "Heard and seen: as the technician answered. Levels and currents stand as they were typed; what they " +
		"show is computed below.",
	words.ComputedNote: "From the site file as declared and the readings of this visit. Assumed: the site file says " +
		"nothing, and a usual value of ours counts; what holds by it alone is undecided.",
	words.LoopsNote: "For whoever comes next: what an ohmmeter should read with the loop disconnected, seen from the " +
		"controller's terminals; resistors within 5 % and without cable where the site file does not give them.",
	words.GuardNote: "How limits are applied: a value is held against its limit with its expanded uncertainty (k = 2) as a " +
		"guard band (JCGM 106); that of a voltage is the meter's and that of the last digit read (JCGM 100). Closer to " +
		"the limit than that is undecided.",
	words.LooksNote:     germanLooksNote,
	words.ChecklistNote: "As the technician answered; nothing of it was measured. n. a.: not applicable, for the reason given.",
	words.SampledNote:   "by the controller's own measurement",
	words.PhotographsNote: "Each is attached to this file in its full size. The time of taking is that of the camera's " +
		"clock.",
	words.TechnicianNote: "With the name, the technician says: what this record tells of was done with skill and care, and seen " +
		"and read as it tells.",
	words.CustomerNote: "As the technician entered it: the customer's representative was shown the findings and " +
		"limitations and accepts those listed by number beside the name. That acceptance repairs nothing.",
	words.PictureNote: "A drawn signature is a picture that the technician supplied.",
	words.GlassNote: "A signature in lines was drawn on the glass of the phone; nothing in this file shows whose hand drew " +
		"it.",
	words.TouchesNote: "The instant of each touch and count, in the time of day on the premises, and between which bounds " +
		"the clock of this program was ahead of the phone's:",
	words.ThrowAwayNote: "a throw-away key: made for this demonstration, kept nowhere. It proves nothing about who made " +
		"this.",
	words.NobodySealedNote: "nobody. Nothing shows who made this file, or whether it was changed since.",
	words.ReaderNote: "A PDF reader that shows signatures tells whether the file was changed since it was " +
		"signed.",
	words.FollowNote: "The program loopwitness checks all of it, without any key or account: loopwitness verify " +
		"FILE. It judges the attached journal again and compares each verdict, figure and mark with these pages.",
	words.KeyNote: "Key is the SHA-256 of the signing certificate. Compare it with what the installer gave you by " +
		"another way than this file, or name a certificate that you trust: loopwitness verify --trust CERTIFICATE FILE. " +
		"Anybody can write any name into a key.",
	words.PaperNote:         germanPaper + " and the key, too.",
	words.PaperUnsignedNote: germanPaper + ", too.",
	words.TruthNote:         "No check shows that what was recorded is true: that rests on who recorded it.",
}

const germanPaper = "A paper copy: the beginning of Journal stands at the foot of every page, all of it above and " +
	"in the code. With loopwitness verify --fingerprint DIGITS FILE you see whether a file holds the same journal; " +
	"compare the revision"
