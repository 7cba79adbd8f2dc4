package words

// ofAround is what is said around a visit.
func (l English) ofAround(p Phrase) (string, bool) {
	a, is := p.(Around)
	if !is || englishAround[a.What] == "" {
		return "", false
	}
	return a.In(l, englishAround), true
}

var englishAround = map[AroundCode]string{
	VisitBegun:      "Visit %s begun: %d steps, %d detectors.",
	VisitGoesOn:     "Visit %s goes on.",
	VisitComplete:   "Visit %s is complete: %s.",
	CertifyWith:     "Write its certificate with:",
	VisitPaused:     "Paused; nothing is lost. Go on at the same step with:",
	PausedWithOn:    "Paused. Go on at the same step, with what is still on first, by:",
	GoOnWith:        "Go on with:",
	GoOnInPlace:     "Once its journal is in its place, go on with:",
	PracticeVisit:   "PRACTICE: what is listened to is no installation, and every page will say so.",
	LearntTaken:     "Photographs taken in from when the site was learnt: %d",
	LearntLeft:      "A photograph from when the site was learnt is left out: %v",
	PhoneWarnsAgain: "The phone will warn of the page again the next time: %v",

	EarlierLeftOut:   "Earlier visit %s is left out: %v",
	EarlierTaken:     "Taken in of earlier visits:",
	EarlierSo:        "– %s, %s, %s: %s; journal %.16s…",
	EarlierSealed:    "; from a sealed file %.16s…, signed as %s (%s; key %.16s…)",
	EarlierTrusted:   "trusted",
	EarlierUntrusted: "by whom is not proved",
	EarlierRules:     "; it was judged by rules %d, and its record again by rules %d",
	LeftAsked: "Left outstanding there: %d; of these %d are asked for first, and %d are shown by what this visit takes " +
		"anyway.",
	LeftThere: "Left outstanding there:",
	SampleTaken: "Taken are %d of %d detectors; at least %s %% were agreed (%s): all that failed or were not proved " +
		"last time, all of which no proof is known, and all of fire and gas; then one of each zone, and further ones, " +
		"those first that were proved longest ago.",
	EarlierSiteUnread: "What changed in the site file since cannot be told: the earlier one cannot be read.",
	SiteChangedSince:  "Changed in the site file since visit %s:",
	MoreOfThem:        "– and %d more",

	AgainUntold:     "Why its steps are taken again cannot be told: %v",
	AgainAfter:      "Taken again after visit %s, and why:",
	AgainChecklists: "– %d lines of the checklists that each retest needs",
	NeededFor:       "needed for %s",
	AndMore:         "%s and %d more",

	SiteNotReadable: "The site file cannot be read (%v); the visit goes on with what it says itself.",
	SiteNotAsVisit:  "%s is not as the visit has it:",
	TakeSiteIn:      "Take it in?",
	KeepsSite:       "no: go on with what the visit has",
	TakesSite:       "yes: take it in",
	SiteAffects:     "Taken in, %severything else stays as it is, and names under the visit lapse.",
	AffectsAgain:    "taken again: %s; ",
	AffectsNew:      "new: %s; ",
	AffectsRemoved:  "no more: %s; ",

	UnfinishedIs:      "There is an unfinished visit: %s.",
	UnfinishedSo:      "%s, begun %s, last entry %s, %d of %d steps open",
	UnfinishedMore:    "; and %d more, see: %s",
	UnfinishedWhat:    "What is to become of it?",
	UnfinishedResume:  "go on with it",
	UnfinishedBeside:  "begin another beside it",
	UnfinishedDiscard: "set it aside, with a reason, and begin another",
	UnfinishedLeave:   "begin nothing",
	DiscardReason:     "For what reason is it set aside?",

	ListHead:      "Visit|Begun|Open steps|Result so far",
	ListUnread:    "cannot be read; see %s",
	SetAsideSo:    "set aside: %s",
	SetAsideCount: "%d set aside; see: %s",
	ShownVisit:    "Visit %s, %s, begun %s, %d entries",
	ShownOpen:     "Not finished: %s",
	ShownResult:   "Result: %s",
	ShownNext:     "Next: %s, %s",
	DetectorsHead: "Point|Detector|Zone|Response|Restored|Trials|Verdict",
	SetAsideOn:    "SET ASIDE on %s%s: %s",
	ByWhom:        " by %s",
	SiteChangedOn: "The site file was changed on %s during the visit",
	OpenedAgain:   "; taken under the earlier file and opened again (%d): %s",
	TakenNoMore:   "; taken and no part of it any more (%d): %s",
	CorrectedSo:   "Corrected, %s of entry %d%s: %s, before %s: %s (%s, %s%s)",
	DemoHandover:  "A hand-over visit of %s, simulated: %d zones, %d detectors. Simulated time passes at once.",
	DemoMaintenance: "A maintenance visit of %s a year later: %d zones, %d detectors. One of them has become slow, and " +
		"the battery weak.",
	AfterSigning: ", after signing",
}
