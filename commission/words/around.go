package words

import "fmt"

// Around is what the program says on a screen before and after a visit, and of how one stands:
// a code, with arguments in their order. An argument is a phrase, or stands as it is.
type Around struct {
	What AroundCode
	Of   []any
}

// AroundCode is what is said.
type AroundCode string

// What is said around a visit, with its arguments.
const (
	VisitBegun        AroundCode = "begun"        // visit, steps, detectors
	VisitGoesOn       AroundCode = "goes-on"      // visit
	VisitComplete     AroundCode = "complete"     // visit, result
	CertifyWith       AroundCode = "certify-with" // the command follows, as below
	VisitPaused       AroundCode = "paused"
	PausedWithOn      AroundCode = "paused-on"
	GoOnWith          AroundCode = "go-on"
	GoOnInPlace       AroundCode = "go-on-in-place"
	LearntTaken       AroundCode = "learnt-taken" // how many
	LearntLeft        AroundCode = "learnt-left"  // why
	PhoneWarnsAgain   AroundCode = "phone-warns"  // why
	EarlierLeftOut    AroundCode = "earlier-left" // visit, why
	EarlierTaken      AroundCode = "earlier-taken"
	EarlierSo         AroundCode = "earlier"        // number, day, company, result, journal
	EarlierSealed     AroundCode = "earlier-sealed" // certificate, name, trust, key
	EarlierTrusted    AroundCode = "earlier-trusted"
	EarlierUntrusted  AroundCode = "earlier-untrusted"
	EarlierRules      AroundCode = "earlier-rules" // then, now
	LeftAsked         AroundCode = "left-asked"    // all, asked, shown
	LeftThere         AroundCode = "left-there"
	SampleTaken       AroundCode = "sample" // taken, of, percent, reason
	EarlierSiteUnread AroundCode = "site-unread"
	SiteChangedSince  AroundCode = "site-since"        // visit
	MoreOfThem        AroundCode = "more"              // how many
	AgainUntold       AroundCode = "again-untold"      // why
	AgainAfter        AroundCode = "again-after"       // visit
	AgainChecklists   AroundCode = "again-checklists"  // lines
	NeededFor         AroundCode = "needed-for"        // names
	AndMore           AroundCode = "and-more"          // names, how many
	SiteNotReadable   AroundCode = "site-not-readable" // why
	SiteNotAsVisit    AroundCode = "site-not-as"       // file
	TakeSiteIn        AroundCode = "take-in"
	KeepsSite         AroundCode = "take-in-no"
	TakesSite         AroundCode = "take-in-yes"
	SiteAffects       AroundCode = "affects"         // a list
	AffectsAgain      AroundCode = "affects-again"   // names
	AffectsNew        AroundCode = "affects-new"     // names
	AffectsRemoved    AroundCode = "affects-removed" // names
	UnfinishedIs      AroundCode = "unfinished"      // which
	UnfinishedSo      AroundCode = "unfinished-so"   // visit, begun, last entry, open steps, steps
	UnfinishedMore    AroundCode = "unfinished-more" // how many, command
	UnfinishedWhat    AroundCode = "unfinished-what"
	UnfinishedResume  AroundCode = "unfinished-resume"
	UnfinishedBeside  AroundCode = "unfinished-beside"
	UnfinishedDiscard AroundCode = "unfinished-discard"
	UnfinishedLeave   AroundCode = "unfinished-leave"
	DiscardReason     AroundCode = "discard-reason"
	ListHead          AroundCode = "list-head"       // of a table, its columns parted by |
	ListUnread        AroundCode = "list-unread"     // command
	SetAsideSo        AroundCode = "set-aside-so"    // reason
	SetAsideCount     AroundCode = "set-aside-count" // how many, command
	ShownVisit        AroundCode = "shown"           // visit, kind, begun, entries
	ShownOpen         AroundCode = "shown-open"      // how much
	ShownResult       AroundCode = "shown-result"    // result
	ShownNext         AroundCode = "shown-next"      // stage, step
	DetectorsHead     AroundCode = "detectors-head"
	SetAsideOn        AroundCode = "set-aside"        // when, whom, reason
	ByWhom            AroundCode = "by-whom"          // name
	SiteChangedOn     AroundCode = "site-changed"     // when
	OpenedAgain       AroundCode = "opened-again"     // how many, names
	TakenNoMore       AroundCode = "taken-no-more"    // how many, names
	CorrectedSo       AroundCode = "corrected"        // field, entry, step, text, before, reason, whom, when, after
	DemoHandover      AroundCode = "demo-handover"    // premises, zones, detectors
	DemoMaintenance   AroundCode = "demo-maintenance" // premises, zones, detectors
	AfterSigning      AroundCode = "after-signing"
	PracticeVisit     AroundCode = "practice"
)

// Code names it.
func (a Around) Code() string { return "around/" + string(a.What) }

// In is the text of one in a language that has these.
func (a Around) In(l Language, texts map[AroundCode]string) string {
	said := make([]any, len(a.Of))
	for i, of := range a.Of {
		if said[i] = of; of != nil {
			if p, is := of.(Phrase); is {
				said[i] = l.Say(p)
			}
		}
	}
	return fmt.Sprintf(texts[a.What], said...)
}
