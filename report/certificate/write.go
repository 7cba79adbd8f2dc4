package certificate

import (
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// Options are what a certificate says of its own making.
type Options struct {
	Revision int
	Tool     string // name and version that draws the pages
	Seal     Seal
	Record   string            // SHA-256 of the attached journal, in hexadecimal; "" if it is not attached
	Pictures map[string][]byte // small pictures (JPEG) of the photographs, by the SHA-256 of the photograph
}

// Seal is who seals a certificate. The zero Seal is an unsigned one.
type Seal struct {
	Kind        SealKind `json:"kind"`
	Name        string   `json:"name,omitempty"`        // that the key's owner gave it
	Fingerprint string   `json:"fingerprint,omitempty"` // SHA-256 of the signing certificate, in hexadecimal
}

// SealKind tells what a seal is worth.
type SealKind string

// The kinds of seals.
const (
	Unsigned  SealKind = ""
	Signed    SealKind = "signed"
	ThrowAway SealKind = "throw-away" // by a key that was made for one demonstration and kept nowhere
)

// Write decides what a certificate says. It is a pure function.
func Write(a *judge.Assessment, o Options) Document {
	r := a.Record()
	d := Document{
		Installer: r.Site().Installer.Company,
		Number:    documentNumber(r, o.Revision),
		Title:     "Walk-test certificate",
		Subtitle:  r.Site().Premises.Name + ", " + visitWords(r),
		Banner:    banner(a),
	}
	if r.Simulated() {
		d.Notices = append(d.Notices, "SIMULATED: practice, no evidence of any installation")
	}
	switch o.Seal.Kind {
	case Signed:
	case ThrowAway:
		d.Notices = append(d.Notices, "sealed with a throw-away key")
	default:
		d.Notices = append(d.Notices, "unsigned")
	}
	d.Record = o.Record
	w := writer{a, r, o}
	d.Sections = []Section{w.premises(), w.visit(), w.outstanding(), w.detectors(), w.response()}
	for _, s := range []Section{w.supply(), w.outputs(), w.computed(), w.checklist(), w.photographs(), w.cautions(), w.names(), w.seal()} {
		if len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	return d
}

// english says what the record gives.
var english = words.English{}

type writer struct {
	a *judge.Assessment
	r *record.Record
	o Options
}

var visitNames = map[programme.VisitKind]string{
	programme.Handover: "hand-over visit", programme.Maintenance: "maintenance visit", programme.Retest: "retest after repair",
}

func visitWords(r *record.Record) string {
	return visitNames[r.Opened().Visit] + " of " + r.Local(r.Begun()).Format("2 January 2006")
}

func banner(a *judge.Assessment) Banner {
	b := Banner{Word: capital(string(a.Result()))}
	switch a.Result() {
	case judge.Satisfactory:
		b.Tone, b.Sentence = Good, "Everything that this visit had to test was tested and is within its limits."
	case judge.WithLimitations:
		b.Tone, b.Sentence = Warn, "What was tested is within its limits; what limits this result is listed below."
	default:
		b.Tone, b.Sentence = Bad, "The findings below have to be put right and tested again."
	}
	b.Figures = append(b.Figures, Figure{fmt.Sprintf("%d of %d", a.Counts()[record.Proved], len(a.Detectors())), "detectors proved"})
	if a.Summary().N > 0 {
		b.Figures = append(b.Figures, Figure{fmt.Sprintf("%.2f s", a.Summary().P50), fmt.Sprintf("median response, limit %s s", checks.FormatNumber(a.Summary().Limit.SI))})
	}
	b.Figures = append(b.Figures,
		Figure{fmt.Sprint(len(a.Findings())), plural(len(a.Findings()), "finding", "findings") + " to put right"},
		Figure{fmt.Sprint(len(a.Limitations())), plural(len(a.Limitations()), "limitation", "limitations")})
	return b
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// joined puts the parts that are there behind each other.
func joined(separator string, parts ...string) string {
	var there []string
	for _, p := range parts {
		if p != "" {
			there = append(there, p)
		}
	}
	return strings.Join(there, separator)
}

// add appends a pair unless its value is empty.
func (p *Pairs) add(label, value string) {
	if value != "" {
		*p = append(*p, Pair{label, value})
	}
}

func labelled(label, value string) string {
	if value == "" {
		return ""
	}
	return label + " " + value
}

func (w writer) premises() Section {
	s := w.r.Site()
	var p Pairs
	p.add("Premises", joined(", ", s.Premises.Name, s.Premises.Address))
	p.add("Customer", joined(", ", s.Customer.Name, s.Customer.Contact))
	p.add("Use, part covered", joined("; ", s.Premises.Use, s.Premises.Part))
	p.add("Installer", joined(", ", s.Installer.Company, s.Installer.Address, s.Installer.Phone, labelled("licence", s.Installer.Licence)))
	p.add("Declared", joined(", ", s.Declared.Standard, labelled("grade", s.Declared.Grade), labelled("class", s.Declared.Class)))
	p.add("Declared departures", s.Declared.Departures)
	p.add("Controller", joined(", ", s.Controller.Description, s.Controller.Location, s.Controller.Software, s.Controller.Connection))
	p.add("Monitoring", joined(", ", s.Monitoring.Centre, labelled("account", s.Monitoring.Account), s.Monitoring.Path))
	p.add("Adapter", joined(", ", s.Supply.Adapter.Rating.Text, s.Supply.Adapter.Voltage.Text, s.Supply.Adapter.Location))
	b := s.Supply.Battery
	p.add("Standby battery", joined(", ", b.Chemistry, b.Capacity.Text, labelled("at the rate of", b.HourRating.Text), labelled("fitted", b.Fitted), b.Location))
	p.add("Standby required", joined(", ", s.Supply.Standby.For.Text, labelled("then alarm for", s.Supply.Standby.AlarmFor.Text), s.Supply.Standby.Source))
	p.add("Insurer", s.Insurer)
	blocks := []Block{p}
	if s.Declared.Standard+s.Declared.Grade+s.Declared.Class != "" {
		blocks = append(blocks, Prose{"Standard, grade and class are printed as the installer declares them; nothing on this page judges them.", true})
	}
	return Section{"Premises and system", blocks}
}

func (w writer) visit() Section {
	r := w.r
	var p Pairs
	p.add("Kind of visit", joined(", ", visitNames[r.Opened().Visit], labelled("follows", r.Opened().Follows)))
	p.add("Begun, last entry", w.clock(r.Begun())+" to "+w.clock(r.Attended()))
	p.add("Extent", w.extent())
	p.add("Breaks", w.breaks())
	p.add("Document", w.r.Opened().Document)
	p.add("Made with", joined(", record by ", w.o.Tool, r.Opened().Tool))
	if m := r.Voltmeter(); m != nil {
		u := "uncertainty not stated"
		if m.Uncertainty > 0 {
			u = fmt.Sprintf("± %s V near 12 V (95 %%)", checks.FormatNumber(m.Uncertainty))
		}
		p.add("Voltmeter", joined(", ", m.Name, labelled("calibrated until", m.Calibrated), u))
	}
	return Section{"This visit", []Block{p}}
}

func (w writer) clock(t time.Time) string { return w.r.Local(t).Format("2006-01-02 15:04 -07:00") }

func (w writer) extent() string {
	tried := 0
	for _, d := range w.a.Detectors() {
		if d.Trials > 0 {
			tried++
		}
	}
	return fmt.Sprintf("walk-test of %d of the site's %d detectors, %d tried; %d %s, %d checks", len(w.a.Detectors()), w.r.Site().Detectors(), tried,
		len(w.a.Outputs()), plural(len(w.a.Outputs()), "trial of outputs", "trials of outputs"), len(w.a.Checklist()))
}

func (w writer) breaks() string {
	var parts []string
	for _, b := range w.r.Breaks() {
		text := w.r.Local(b.From).Format("15:04:05")
		if !b.To.IsZero() {
			text += " to " + w.r.Local(b.To).Format("15:04:05")
		}
		parts = append(parts, text+" ("+english.Say(b.Why)+")")
	}
	for _, b := range w.r.Outages() {
		text := "controller lost " + w.r.Local(b.From).Format("15:04:05")
		if !b.To.IsZero() {
			text += " to " + w.r.Local(b.To).Format("15:04:05")
		}
		parts = append(parts, text)
	}
	if len(parts) > 6 {
		parts = append(parts[:5], fmt.Sprintf("and %d more, see the record", len(parts)-5))
	}
	return strings.Join(parts, "; ")
}

func (w writer) outstanding() Section {
	var items Items
	for _, f := range w.a.Findings() {
		items = append(items, Item{f.ID, Bad, english.Say(f.Subject), english.Say(f)})
	}
	for _, f := range w.a.Limitations() {
		items = append(items, Item{f.ID, Warn, english.Say(f.Subject), english.Say(f)})
	}
	if len(items) == 0 {
		return Section{"Findings and limitations", []Block{Prose{"None.", false}}}
	}
	return Section{"Findings and limitations", []Block{Prose{"F: a finding, to be put right and tested again. L: a limitation of what this certificate shows.", true}, items}}
}

var verdictTones = map[record.Verdict]Tone{
	record.Proved: Good, record.Undecided: Warn, record.NotTested: Warn, record.Late: Bad, record.Silent: Bad,
	record.Crossed: Bad, record.Inverted: Bad, record.Unsteady: Bad,
}

func (w writer) detectors() Section {
	if len(w.a.Detectors()) == 0 {
		return Section{"Zone schedule", []Block{Prose{"No detector was part of this visit.", false}}}
	}
	return Section{"Zone schedule: every detector, operated on its own", []Block{w.detectorTable(w.a.Detectors()), Prose{w.limitsNote(), true}}}
}

func (w writer) limitsNote() string {
	l := w.r.Site().Limits
	used := map[string]bool{}
	var restore []string
	for _, kind := range site.Kinds {
		for _, d := range w.a.Detectors() {
			if string(d.Zone.Kind) == kind && !used[kind] {
				used[kind] = true
				limit := l.Restore[site.Kind(kind)]
				restore = append(restore, fmt.Sprintf("%s %s s (%s)", kind, checks.FormatNumber(limit.SI), english.Say(limit)))
			}
		}
	}
	return fmt.Sprintf("Limits: response %s s (%s); restored: %s. Silent: nothing within %s s (%s), or until the technician gave up. A report had to stand for %s s (%s). "+
		"Rule: within its limit by more than its uncertainty is proved; closer than that is undecided (JCGM 106). The bar shows the response against its limit (the tick).",
		checks.FormatNumber(l.Response.SI), english.Say(l.Response), strings.Join(restore, ", "),
		checks.FormatNumber(l.ListenFor.SI), english.Say(l.ListenFor), checks.FormatNumber(l.Steady.SI), english.Say(l.Steady))
}

func (w writer) detectorTable(lines []judge.DetectorLine) Table {
	t := Table{Columns: []Column{
		{Head: "Point", Width: 12}, {Head: "Detector", Width: 46}, {Head: "Zone", Width: 33},
		{Head: "Response", Unit: "s", Width: 17, Right: true}, {Head: "", Width: 17}, {Head: "Restored", Unit: "s", Width: 16, Right: true},
		{Head: "±", Unit: "s", Width: 10, Right: true}, {Head: "Trials", Width: 10, Right: true}, {Head: "Verdict", Width: 19},
	}}
	for _, d := range lines {
		t.Rows = append(t.Rows, w.detectorRow(d))
	}
	return t
}

func (w writer) detectorRow(d judge.DetectorLine) Row {
	tone := verdictTones[d.Verdict]
	response, restored := Cell{Text: "–", Tone: Quiet}, Cell{Text: "–", Tone: Quiet}
	bar, u := Cell{}, Cell{}
	limit := w.r.Site().Limits.Response.SI
	if d.Operated.Answered() {
		seconds := d.Operated.Response.Seconds()
		response = Cell{Text: fmt.Sprintf("%.2f", seconds)}
		u = Cell{Text: fmt.Sprintf("%.2f", d.Operated.Uncertainty.Seconds()), Tone: Quiet}
		bar.Bar = &Bar{Value: seconds, Limit: limit, Full: limit * 1.5, Tone: verdictTones[d.Operated.Verdict]}
	}
	if d.Restored.Answered() {
		restored = Cell{Text: fmt.Sprintf("%.2f", d.Restored.Response.Seconds())}
	}
	remark := strings.Join(d.Remarks, "; ")
	if n := d.Outcome.BrokenOff(); n > 0 {
		remark = joined("; ", fmt.Sprintf("%d %s broken off", n, plural(n, "trial", "trials")), remark)
	}
	if d.Trials > 1 {
		remark = joined("; ", fmt.Sprintf("%s in trial %d of %d; before: %s", d.Verdict, d.Trials, d.Trials, earlier(d)), remark)
	}
	return Row{Cells: []Cell{{Text: string(d.Name.Point), Bold: true}, {Text: d.Detector.Name}, {Text: fmt.Sprintf("%d %s", d.Zone.Number, d.Zone.Name), Tone: Quiet},
		response, bar, restored, u, {Text: fmt.Sprint(d.Trials)}, {Text: string(d.Verdict), Tone: tone, Bold: true}}, Remark: remark}
}

// earlier names the verdicts of the trials before the last.
func earlier(d judge.DetectorLine) string {
	var verdicts []string
	tried := d.Outcome.Tried()
	for _, t := range tried[:len(tried)-1] {
		word := string(t.Verdict())
		if j := t.Operate.Judge(); j.Answered() {
			if j.Verdict == record.Proved {
				word += " when restored"
			}
			word += fmt.Sprintf(" (operated: %.2f s)", j.Response.Seconds())
		}
		verdicts = append(verdicts, word)
	}
	return strings.Join(verdicts, ", ")
}

func (w writer) response() Section {
	a := w.a
	blocks := []Block{}
	if a.Summary().N > 0 {
		full := math.Max(a.Summary().Limit.SI*1.25, a.Summary().Max*1.05)
		blocks = append(blocks, Strip{Values: a.Responses(), Limit: a.Summary().Limit.SI, Full: full, Unit: "s",
			Marks: []Mark{{a.Summary().P50, "median"}, {a.Summary().P90, "90 %"}}})
		blocks = append(blocks, Prose{Text: fmt.Sprintf("Response of %d detectors in their last trial: mean %.2f s%s, median %.2f s, 90 %% within %.2f s, 95 %% within %.2f s (percentiles by p(N+1), Hyndman–Fan 6), longest %.2f s; limit %s s (%s).",
			a.Summary().N, a.Summary().Mean, deviation(a.Summary().StandardDeviation), a.Summary().P50, a.Summary().P90, a.Summary().P95, a.Summary().Max, checks.FormatNumber(a.Summary().Limit.SI), english.Say(a.Summary().Limit))})
	}
	if p := a.Proof(); p.Operations > 0 {
		blocks = append(blocks, Prose{Text: fmt.Sprintf("%d of %d operations were reported, repeats counted. At %.0f %% confidence this proves that at least %.1f %% of operations are reported (exact binomial lower bound, Clopper–Pearson), if detectors are alike. Counted is every operation that was reported, or missed past its limit even if it was broken off then. To show 99 %% takes %d operations without a miss.",
			p.Reported, p.Operations, 100*p.Confidence, floor1(100*p.LowerBound), p.NeededFor99)})
	}
	for _, l := range sourcesOnce(w.r.Sources()) {
		blocks = append(blocks, Prose{Text: fmt.Sprintf("How times were taken: %s, %s; uncertainty ± %.2f s (k = 2). %s",
			english.Say(l.Way), english.Say(l.TimedBy), float64(l.UncertaintyNS)/1e9, bound(l)), Quiet: true})
	}
	return Section{"Response of the system", blocks}
}

// bound says what a time is a bound of.
func bound(l signal.Listening) string {
	if l.ByHand {
		return "A time runs from the cue and contains the technician's own delays, to operate and to press the key; a key pressed too early would shorten it."
	}
	return "A time runs from the cue and contains the technician's own delay: it is an upper bound of the system's response and can never flatter it."
}

// deviation is a standard deviation in words, if there is one.
func deviation(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return fmt.Sprintf(" (standard deviation %.2f s)", v)
}

// floor1 keeps one decimal and never rounds up: a bound must stay one.
func floor1(v float64) float64 { return math.Floor(v*10) / 10 }

func sourcesOnce(all []signal.Listening) []signal.Listening {
	var out []signal.Listening
	seen := map[signal.Listening]bool{}
	for _, l := range all {
		if !seen[l] {
			seen[l] = true
			out = append(out, l)
		}
	}
	return out
}
