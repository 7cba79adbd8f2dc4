package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ofEarlier says what earlier visits left, and what changed since.
func (l Language) ofEarlier(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.StillSo:
		return "unverändert seit " + l.sinceThen(p.Then), true
	case judge.StillUnknown:
		return "niemand hat nachgesehen, ob das behoben ist; offen seit " + l.sinceThen(p.Then), true
	case judge.NotSampled:
		return l.notSampled(p), true
	case judge.EarlierUnread:
		return l.earlierUnread(p), true
	case judge.Settling:
		return germanSettlings[p], germanSettlings[p] != ""
	case site.Change:
		text := l.siteChange(p)
		return text, text != ""
	case words.EarlierVisit:
		return l.earlierVisit(p), true
	case words.ThenFound:
		return l.sinceThen(p.Of), true
	case words.CameOfIt:
		return l.cameOfIt(p), true
	case words.ChangedSince:
		return "Nach der Objektdatei, seit Termin " + named(p.Visit) + ":", true
	case words.NothingChanged:
		return "Nach der Objektdatei hat sich nichts Eingebautes und kein Sollwert geändert seit Termin " +
			named(p.Visit) + ".", true
	case words.MoreChanges:
		return fmt.Sprintf("und %d weitere, siehe die beiden Objektdateien", p.N), true
	}
	return "", false
}

func (Language) earlierUnread(p judge.EarlierUnread) string {
	var parts, names []string
	for _, n := range p.Visits {
		names = append(names, named(n))
	}
	if len(names) > 0 {
		parts = append(parts, "konnten zu Beginn dieses Termins nicht gelesen werden, sodass nicht bekannt ist, "+
			"was von ihnen offen blieb: "+
			strings.Join(names, ", "))
	}
	if p.LeftOut > 0 {
		parts = append(parts, fmt.Sprintf("zu viel war offen, um alles zu übernehmen: %d ausgelassen", p.LeftOut))
	}
	return strings.Join(parts, "; ")
}

// then is what an earlier visit said, by its codes; as it was shown then where this version
// does not know them, or cannot say them: they may come from anybody.
func (l Language) then(said []byte, shown string) (text string) {
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

func (Language) shownThen(shown string) string {
	if oneline.Blank(shown) {
		return "etwas, wofür diese Programmversion keine Worte hat"
	}
	return quoted(shown)
}

func (l Language) sinceThen(t judge.Then) string {
	return l.Date(t.Begun) + " (" + t.ID + " von " + named(t.Visit) + "): " + l.then(t.Said, t.Shown)
}

func (l Language) outstandingStep(n programme.Name) string {
	visit, id := programme.OfOutstanding(n.ID)
	return id + " von " + named(visit) + ": " + l.then([]byte(n.Said), n.Shown)
}

var germanSettlings = map[judge.Settling]string{
	judge.AnsweredRight: "behoben",
	judge.AnsweredStill: "unverändert",
	judge.AnsweredNot:   "nicht nachgesehen",
	judge.TestedNow:     "bei diesem Termin geprüft: bestanden",
	judge.TriedWell:     "erneut geprüft, nicht mehr gefunden",
	judge.TriedAgain:    "erneut geprüft, nicht in Ordnung",
	judge.TriedLimits:   "erneut geprüft, schränkt das Ergebnis weiter ein",
	judge.TriedNot:      "nicht erneut geprüft",
	judge.TriedUntold:   "diesmal nicht feststellbar",
}

func (l Language) cameOfIt(p words.CameOfIt) string {
	text := l.Say(p.Of.How)
	if p.Of.How == judge.TestedNow && !p.Day.IsZero() {
		text = "geprüft am " + l.Date(p.Day) + ": bestanden"
	}
	if p.Of.How == judge.AnsweredRight {
		text += ", bei diesem Termin festgestellt"
		if p.By != "" {
			text += " von " + named(p.By)
		}
	}
	if len(p.Of.Now) > 0 {
		text += ": siehe " + strings.Join(p.Of.Now, ", ")
	}
	return because(text, p.Of.Because)
}

func (l Language) notSampled(p judge.NotSampled) string {
	n := 0
	var by []string
	for _, g := range p.Of {
		n += len(g.Points)
		who := "bei keinem bekannten Termin"
		if g.Visit != "" {
			who = "beim Termin " + named(g.Visit) + " vom " + l.day(g.Day)
		}
		by = append(by, words.Runs(g.Points)+" "+who)
	}
	return fmt.Sprintf("vereinbart war eine Stichprobe von mindestens %s der Melder (%s); diesmal nicht "+
		"geprüft: %s; zuletzt nachgewiesen: %s",
		l.Number(100*p.Share, words.AsNeeded)+" %", quoted(p.Reason), count(n, "Melder", "Melder"),
		strings.Join(by, "; "))
}

// result is an overall result by its code; one that this version does not know stands as it is.
func result(code string) string {
	return cmp.Or(germanOveralls[judge.Overall(code)], code)
}

func (l Language) earlierVisit(p words.EarlierVisit) string {
	e := p.Of
	parts := []string{l.Say(e.Visit) + " " + named(e.Number) + ", " + l.Date(p.Begun) + ", " + named(e.Company) + ": " +
		result(e.Result)}
	if e.Simulated {
		parts = append(parts, "Übung, kein Nachweis für eine Anlage")
	}
	parts = append(parts, "Journal "+e.Journal)
	if s := e.SealedBy; s != nil {
		trust := "von wem, ist nicht nachgewiesen"
		if s.Trusted {
			trust = "bei der Übernahme als vertrauenswürdig benannt"
		}
		parts = append(parts, "aus der versiegelten Datei "+e.Certificate+", signiert "+
			"als "+named(s.Name)+" ("+trust+"; Schlüssel "+
			s.Fingerprint+")")
		if e.SealedRules != e.Rules {
			parts = append(parts, fmt.Sprintf("die Datei wurde nach Regelstand %d beurteilt, ihre Aufzeichnung "+
				"hier erneut nach Regelstand %d",
				e.SealedRules, e.Rules))
		}
	}
	if e.DetectorsLeft > 0 {
		parts = append(parts, fmt.Sprintf("von den Meldern hier %d ausgelassen", e.DetectorsLeft))
	}
	if e.OutstandingLeft > 0 {
		parts = append(parts, fmt.Sprintf("von den Mängeln hier %d ausgelassen", e.OutstandingLeft))
	}
	return strings.Join(parts, "; ")
}

// germanChanges say what changed, with what it is about before it; %s stands for that.
var germanChanges = map[site.ChangeCode]string{
	site.CompanyChanged:    "eine andere Firma ist für die Anlage verantwortlich",
	site.ControllerChanged: "Zentrale",
	site.CentreChanged:     "Alarmempfangsstelle oder Übertragungsweg",
	site.ZoneAdded:         "%s: neu",
	site.ZoneRemoved:       "%s: entfallen",
	site.ZoneRenamed:       "%s: umbenannt",
	site.ZoneWired:         "%s: anders verdrahtet",
	site.ZoneAddress:       "%s: unter anderer Adresse gemeldet",
	site.DetectorAdded:     "%s: neu",
	site.DetectorRemoved:   "%s: entfallen",
	site.DetectorRenamed:   "%s: umbenannt",
	site.DetectorMoved:     "%s: an anderer Stelle der Linie",
	site.DetectorKindOf:    "%s: andere Art",
	site.DetectorPower:     "%s: andere Stromaufnahme oder anderes Kabel",
	site.OutputAdded:       "%s: neu",
	site.OutputRemoved:     "%s: entfallen",
	site.OutputChanged:     "%s: anders beschrieben",
	site.BatteryRenewed:    "Akku mit anderem Datum",
	site.BatteryChanged:    "anderer Akku",
	site.AdapterChanged:    "anderes Netzteil",
	site.SupplyChanged:     "Versorgung anders beschrieben",
	site.LimitChanged:      "andere Grenze",
}

func (l Language) siteChange(c site.Change) string {
	text := germanChanges[c.What]
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
		text += ": bisher " + germanQuotes.OrNone(c.Before) + ", jetzt " + germanQuotes.OrNone(c.Now)
	}
	return text
}

// changed is what a change is about.
func (l Language) changed(c site.Change) string {
	switch {
	case c.Point != "":
		return "Melder " + string(c.Point) + " " + named(c.Name)
	case c.Zone != 0:
		return l.Say(programme.ZoneName{Number: c.Zone, Name: c.Name})
	}
	return "Ausgang " + named(c.Name)
}
