package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ofEarlier says what earlier visits left, and what changed since.
func (l English) ofEarlier(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.StillSo:
		return "still so since " + l.sinceThen(p.Then), true
	case judge.StillUnknown:
		return "nobody looked whether this was put right; outstanding since " + l.sinceThen(p.Then), true
	case judge.NotSampled:
		return l.notSampled(p), true
	case judge.EarlierUnread:
		return l.earlierUnread(p), true
	case judge.Settling:
		return englishSettlings[p], englishSettlings[p] != ""
	case site.Change:
		text := l.siteChange(p)
		return text, text != ""
	case EarlierVisit:
		return l.earlierVisit(p), true
	case ThenFound:
		return l.sinceThen(p.Of), true
	case CameOfIt:
		return l.cameOfIt(p), true
	case ChangedSince:
		return "By the site file, since visit " + named(p.Visit) + ":", true
	case NothingChanged:
		return "By the site file nothing that is fitted or that readings are held against changed since visit " +
			named(p.Visit) + ".", true
	case MoreChanges:
		return fmt.Sprintf("and %d more, see the two site files", p.N), true
	}
	return "", false
}

func (English) earlierUnread(p judge.EarlierUnread) string {
	var parts, names []string
	for _, n := range p.Visits {
		names = append(names, named(n))
	}
	if len(names) > 0 {
		parts = append(parts, "could not be read when this visit began, so that what they left outstanding is not known: "+
			strings.Join(names, ", "))
	}
	if p.LeftOut > 0 {
		parts = append(parts, fmt.Sprintf("too many were outstanding to be carried on: %d were left out", p.LeftOut))
	}
	return strings.Join(parts, "; ")
}

// then is what an earlier visit said, by its codes; as it was shown then where this version
// does not know them, or cannot say them: they may come from anybody.
func (l English) then(said []byte, shown string) (text string) {
	defer func() {
		if recover() != nil {
			text = l.shownThen(shown)
		}
	}()
	f, known := judge.Recall(said)
	if !known {
		return l.shownThen(shown)
	}
	return l.Say(f.Subject) + ": " + l.whatIs(f)
}

func (English) shownThen(shown string) string {
	if oneline.Blank(shown) {
		return "something that this version of the program has no words for"
	}
	return quoted(shown)
}

// Shown is a finding as a later version shows it that does not know its codes.
func Shown(l Language, f judge.Finding) string { return l.Say(f.Subject) + ": " + l.Say(Matter{Of: f}) }

func (l English) sinceThen(t judge.Then) string {
	return l.Date(t.Begun) + " (" + t.ID + " of " + named(t.Visit) + "): " + l.then(t.Said, t.Shown)
}

func (l English) outstandingStep(n programme.Name) string {
	visit, id := programme.OfOutstanding(n.ID)
	return id + " of " + named(visit) + ": " + l.then([]byte(n.Said), n.Shown)
}

var englishSettlings = map[judge.Settling]string{
	judge.AnsweredRight: "put right",
	judge.AnsweredStill: "still so",
	judge.AnsweredNot:   "not looked at",
	judge.TestedNow:     "tested on this visit: passed",
	judge.TriedWell:     "tested again, and not found any more",
	judge.TriedAgain:    "tested again, and not as it should be",
	judge.TriedLimits:   "tested again, and limits the result still",
	judge.TriedNot:      "not tested again",
	judge.TriedUntold:   "could not be told this time",
}

func (l English) cameOfIt(p CameOfIt) string {
	text := l.Say(p.Of.How)
	if p.Of.How == judge.TestedNow && !p.Day.IsZero() {
		text = "tested " + l.Date(p.Day) + ": passed"
	}
	if p.Of.How == judge.AnsweredRight {
		text += ", found so on this visit"
		if p.By != "" {
			text += " by " + named(p.By)
		}
	}
	if len(p.Of.Now) > 0 {
		text += ": see " + strings.Join(p.Of.Now, ", ")
	}
	return because(text, p.Of.Because)
}

func (l English) notSampled(p judge.NotSampled) string {
	n := 0
	var by []string
	for _, g := range p.Of {
		n += len(g.Points)
		who := "by no visit that is known"
		if g.Visit != "" {
			who = "by visit " + named(g.Visit) + " of " + g.Day
		}
		by = append(by, Runs(g.Points)+" "+who)
	}
	return fmt.Sprintf("a sample of at least %s of the detectors was agreed (%s); %s not taken this time, and proved "+
		"last: %s",
		l.Number(100*p.Share, AsNeeded)+" %", quoted(p.Reason), count(n, "detector was", "detectors were"),
		strings.Join(by, "; "))
}

func (l English) earlierVisit(p EarlierVisit) string {
	e := p.Of
	parts := []string{l.Say(e.Visit) + " " + named(e.Number) + ", " + l.Date(p.Begun) + ", " + named(e.Company) + ": " +
		e.Result}
	if e.Simulated {
		parts = append(parts, "practice, no evidence of any installation")
	}
	parts = append(parts, "journal "+e.Journal)
	if s := e.SealedBy; s != nil {
		trust := "by whom is not proved"
		if s.Trusted {
			trust = "named as trusted when it was taken in"
		}
		parts = append(parts, "from the sealed file "+e.Certificate+", signed as "+named(s.Name)+" ("+trust+"; key "+
			s.Fingerprint+")")
		if e.SealedRules != e.Rules {
			parts = append(parts, fmt.Sprintf("the file was judged by rules %d, its record here again by rules %d",
				e.SealedRules, e.Rules))
		}
	}
	if e.DetectorsLeft > 0 {
		parts = append(parts, fmt.Sprintf("of its detectors %d were left out here", e.DetectorsLeft))
	}
	if e.OutstandingLeft > 0 {
		parts = append(parts, fmt.Sprintf("of its findings %d were left out here", e.OutstandingLeft))
	}
	return strings.Join(parts, "; ")
}

// englishChanges say what changed, with what it is about before it; %s stands for that.
var englishChanges = map[site.ChangeCode]string{
	site.CompanyChanged:    "another company answers for the system",
	site.ControllerChanged: "controller",
	site.CentreChanged:     "receiving centre or path",
	site.ZoneAdded:         "%s: new",
	site.ZoneRemoved:       "%s: gone",
	site.ZoneRenamed:       "%s: renamed",
	site.ZoneWired:         "%s: wired otherwise",
	site.ZoneAddress:       "%s: reported under another address",
	site.DetectorAdded:     "%s: new",
	site.DetectorRemoved:   "%s: gone",
	site.DetectorRenamed:   "%s: renamed",
	site.DetectorMoved:     "%s: at another place of its zone",
	site.DetectorKindOf:    "%s: of another kind",
	site.DetectorPower:     "%s: takes another current, or has another cable",
	site.OutputAdded:       "%s: new",
	site.OutputRemoved:     "%s: gone",
	site.OutputChanged:     "%s: described otherwise",
	site.BatteryRenewed:    "battery of another date",
	site.BatteryChanged:    "another battery",
	site.AdapterChanged:    "another adapter",
	site.SupplyChanged:     "supply described otherwise",
	site.LimitChanged:      "another limit",
}

func (l English) siteChange(c site.Change) string {
	text := englishChanges[c.What]
	if strings.Contains(text, "%s") {
		text = fmt.Sprintf(text, l.changed(c))
	}
	if text == "" {
		return ""
	}
	if c.Key != "" {
		text += ", " + plainKey(c.Key)
	}
	if c.Before != "" || c.Now != "" {
		text += ": " + englishQuotes.OrNone(c.Before) + " before, " + englishQuotes.OrNone(c.Now) + " now"
	}
	return text
}

// changed is what a change is about.
func (l English) changed(c site.Change) string {
	switch {
	case c.Point != "":
		return "detector " + string(c.Point) + " " + named(c.Name)
	case c.Zone != 0:
		return l.Say(programme.ZoneName{Number: c.Zone, Name: c.Name})
	}
	return "output " + named(c.Name)
}
