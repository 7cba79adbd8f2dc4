package judge

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Then is what an earlier visit found, or what limited it, and this one carries on.
type Then struct {
	Visit    string          `json:"visit"` // the number of its certificate
	ID       string          `json:"id"`
	Begun    time.Time       `json:"begun"` // that visit
	Severity Severity        `json:"severity"`
	Defect   bool            `json:"defect,omitempty"` // it made that visit unsatisfactory
	Remedy   Remedy          `json:"remedy"`
	Steps    []string        `json:"steps"`
	Said     json.RawMessage `json:"said"`
	Shown    string          `json:"shown,omitempty"` // how that was said then
}

// What may be the matter with what earlier visits left.
type (
	// StillSo is something outstanding that was not put right.
	StillSo struct {
		Then Then `json:"then"`
	}
	// StillUnknown is something outstanding of which nobody said whether it was.
	StillUnknown struct {
		Then Then `json:"then"`
	}
	// NotSampled are detectors that the visit did not take, as was agreed, by the visits
	// that proved them last.
	NotSampled struct {
		Share  float64      `json:"share"`
		Reason string       `json:"reason"` // as typed
		Of     []LastProved `json:"of"`
	}
	// EarlierUnread are earlier visits of the job that could not be read: what they left
	// outstanding is not known.
	EarlierUnread struct {
		Visits  []string `json:"visits,omitempty"`
		LeftOut int      `json:"left_out,omitempty"` // findings for which there was no room
	}
)

// LastProved are detectors that one visit proved last; Visit is "" where none is known.
type LastProved struct {
	Visit  string       `json:"visit,omitempty"` // the number of its certificate
	Day    string       `json:"day,omitempty"`   // of it, 2026-11-26
	Points []site.Point `json:"points"`
}

// Code names the statement.
func (StillSo) Code() string       { return "still-so" }
func (StillUnknown) Code() string  { return "still-unknown" }
func (NotSampled) Code() string    { return "not-sampled" }
func (EarlierUnread) Code() string { return "earlier-unread" }

// consequence is how grave it was, and what to do about it, as far as this version knows it.
func (t Then) consequence() consequence {
	out := consequence{t.Severity, t.Remedy}
	if !slices.Contains(Severities, t.Severity) {
		out.Severity = Fault
	}
	if t.Remedy != StopCharging && !knownRemedies[t.Remedy] {
		out.Remedy = PutRight
	}
	return out
}

// Grade is how grave it was.
func (t Then) Grade() Severity { return t.consequence().Severity }

// knownRemedies are those of the table.
var knownRemedies = func() map[Remedy]bool {
	known := map[Remedy]bool{ReadAgain: true, LoadTest: true}
	for _, c := range consequences {
		known[c.Remedy] = true
	}
	return known
}()

// thenOf is what is carried on. What that visit itself had carried on is told as it was
// found first.
func thenOf(c record.Carried) Then {
	then := Then{Visit: c.Of.Number, ID: c.What.ID, Begun: c.Of.Begun.UTC(), Severity: Severity(c.What.Severity),
		Defect: strings.HasPrefix(c.What.ID, "F"), Steps: c.What.Steps,
		Remedy: PutRight, Said: settledJSON(c.What.Said), Shown: c.What.Shown}
	if f, known := Recall(c.What.Said); known {
		switch what := f.What.(type) {
		case StillSo:
			return what.Then
		case StillUnknown:
			return what.Then
		}
		then.Remedy = f.Remedy()
	}
	return then
}

// findEarlier lists what earlier visits left outstanding and was not put right.
func (a *Assessment) findEarlier() {
	for _, l := range a.Outstanding() {
		f := Finding{Step: l.Step, Subject: Subject{Part: PartEarlier}, Because: l.Because}
		switch l.How {
		case AnsweredStill:
			f.What = StillSo{l.Then}
			if l.Then.Defect {
				a.defect(f)
			} else {
				a.limit(f)
			}
		case AnsweredNot:
			f.What = StillUnknown{l.Then}
			a.limit(f)
		}
	}
	unread := EarlierUnread{Visits: a.record.Opened().EarlierUnread}
	for _, e := range a.record.Earlier() {
		unread.LeftOut += e.OutstandingLeft
	}
	if len(unread.Visits) > 0 || unread.LeftOut > 0 {
		a.limit(Finding{Subject: Subject{Part: PartEarlier}, What: unread})
	}
	a.findNotSampled()
}

// Settling is what came of something that an earlier visit left outstanding.
type Settling string

// What may have come of it.
const (
	AnsweredRight Settling = "put right" // on or before this visit, as the technician answered
	AnsweredStill Settling = "still so"
	AnsweredNot   Settling = "not looked at"
	TriedWell     Settling = "shown well"   // what it rested on was taken again, and shows nothing of the kind
	TestedNow     Settling = "tested now"   // it was only not tested before, and passed
	TriedAgain    Settling = "found again"  // or another defect of the same
	TriedLimits   Settling = "limits again" // the value limits the result as before
	TriedNot      Settling = "not taken"    // though the visit has it
	TriedUntold   Settling = "not told"     // it was taken again, and that could not be judged
)

// Code names it.
func (s Settling) Code() string { return "settling/" + string(s) }

// OutstandingLine is what an earlier visit left outstanding, and what came of it.
type OutstandingLine struct {
	Then    Then
	How     Settling
	Step    string // that asked for it, "" where a trial shows it
	Because string // why it was not looked at, as typed
	// Now are the findings and limitations of this visit that say so.
	Now []string
}

// JudgedOutstanding is an OutstandingLine as plain values.
type JudgedOutstanding struct {
	Visit string   `json:"visit"`
	ID    string   `json:"id"`
	How   Settling `json:"how"`
	Now   []string `json:"now,omitempty"`
}

func (a *Assessment) judgedOutstanding() (all []JudgedOutstanding) {
	for _, l := range a.Outstanding() {
		all = append(all, JudgedOutstanding{l.Then.Visit, l.Then.ID, l.How, l.Now})
	}
	return all
}

// Outstanding is what earlier visits left outstanding, in their order, and what came of it.
func (a *Assessment) Outstanding() (all []OutstandingLine) {
	for _, c := range record.CarriedOn(a.record.Earlier()) {
		line := OutstandingLine{Then: thenOf(c)}
		if o := a.record.Find(c.Step); o != nil {
			line.Step, line.How = c.Step, AnsweredNot
			switch o.Result() {
			case record.Yes:
				line.How = AnsweredRight
			case record.No:
				line.How = AnsweredStill
			case record.LeftOut:
				line.Because = o.Remark()
			}
		} else {
			line.How, line.Now = a.triedAnew(line.Then, c.What.Steps)
		}
		all = append(all, line)
	}
	return all
}

// sampledOut tells whether a step is about a detector that is none of those that the visit took, as was agreed.
func (a *Assessment) sampledOut(s programme.Step) bool {
	return a.record.Opened().Sampling != nil && s.Stage == programme.StageWalkTest && s.Point != "" &&
		a.record.Find("walk/"+string(s.Point)) == nil
}

// findNotSampled lists the detectors that were not taken, by the visits that proved them
// last.
func (a *Assessment) findNotSampled() {
	sampling := a.record.Opened().Sampling
	if sampling == nil {
		return
	}
	last := record.LastProofs(a.record.Earlier())
	what := NotSampled{Share: sampling.Share, Reason: sampling.Reason}
	a.record.Site().Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if a.record.Find("walk/"+string(p)) != nil {
			return
		}
		proof := last(p, d)
		i := slices.IndexFunc(what.Of, func(l LastProved) bool { return l.Visit == proof.Visit })
		if i < 0 {
			one := LastProved{Visit: proof.Visit}
			if !proof.At.IsZero() {
				one.Day = a.record.Local(proof.At).Format(time.DateOnly)
			}
			what.Of, i = append(what.Of, one), len(what.Of)
		}
		what.Of[i].Points = append(what.Of[i].Points, p)
	})
	if len(what.Of) > 0 {
		a.limit(Finding{Subject: Subject{Part: PartExtent}, What: what})
	}
}

// SiteChanges are what the site file has otherwise than at the latest earlier visit that was
// taken in, and the number of that one; none where there is no such file that can be read.
func (a *Assessment) SiteChanges() (since string, all []site.Change) {
	latest := a.record.Opened().LatestEarlier()
	if latest == nil || latest.Site == "" {
		return "", nil
	}
	before, err := site.Read("site.yaml", []byte(latest.Site))
	if err != nil {
		return "", nil
	}
	return latest.Number, site.Changes(before, a.record.Site())
}
