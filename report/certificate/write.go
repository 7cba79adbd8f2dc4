package certificate

import (
	"math"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// Options are what a certificate says of its own making.
type Options struct {
	Language words.Language // of all that no person typed; required
	Revision int
	Tool     string // name and version that draws the pages
	SealedBy Sealer
	Journal  string            // SHA-256 of the attached journal, in hexadecimal; "" if it is not attached
	Pictures map[string][]byte // small pictures (JPEG) of the photographs, by the SHA-256 of the photograph
}

// Sealer is who seals a certificate; the zero Sealer is nobody, and the certificate unsigned.
type Sealer struct {
	Kind        SealerKind `json:"kind"`
	Name        string     `json:"name,omitempty"`        // that the key's owner gave it
	Fingerprint string     `json:"fingerprint,omitempty"` // SHA-256 of the signing certificate, in hexadecimal
}

// SealerKind tells what a seal is worth.
type SealerKind string

// The kinds of sealers.
const (
	Nobody       SealerKind = ""
	KeyHolder    SealerKind = "signed"
	ThrowAwayKey SealerKind = "throw-away" // by a key that was made for one demonstration and kept nowhere
)

// Write decides what a certificate says. It is a pure function.
func Write(a *judge.Assessment, o Options) Document {
	w := writer{a, a.Record(), o}
	d := Document{
		Language:  o.Language,
		Installer: w.r.Site().Installer.Company,
		Number:    w.documentNumber(),
		Journal:   o.Journal,
		Title:     w.say(words.CertificateHeading),
		Subtitle: w.commas(words.AsTyped(w.r.Site().Premises.Name),
			words.VisitOf{Kind: w.r.Opened().Visit, Day: w.r.Local(w.r.Begun())}),
		Notices: w.notices(),
		Banner:  w.banner(),
	}
	d.Sections = []Section{w.premises(), w.visit(), w.outstanding(), w.detectors(), w.response()}
	for _, s := range []Section{w.supply(), w.outputs(), w.computed(), w.checklist(), w.photographs(), w.cautions(),
		w.names(), w.seal()} {
		if len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	return d
}

type writer struct {
	a *judge.Assessment
	r *record.Record
	o Options
}

// say is a phrase in the language of the certificate.
func (w writer) say(p words.Phrase) string { return w.o.Language.Say(p) }

func (w writer) commas(of ...words.Phrase) string {
	return w.say(words.List{By: words.Commas, Of: of})
}

func (w writer) semicolons(of ...words.Phrase) string {
	return w.say(words.List{By: words.Semicolons, Of: of})
}

// typed are texts as people typed them.
func typed(texts ...string) []words.Phrase {
	var all []words.Phrase
	for _, t := range texts {
		all = append(all, words.AsTyped(t))
	}
	return all
}

// number is a value with so many decimals.
func (w writer) number(value float64, decimals int) string {
	return w.o.Language.Number(value, decimals)
}

func (w writer) count(n int) string { return w.number(float64(n), 0) }

func (w writer) section(title words.Heading, blocks ...Block) Section {
	return Section{w.say(title), blocks}
}

func (w writer) prose(p words.Phrase) Prose { return Prose{Text: w.say(p)} }

// quiet is a paragraph that explains.
func (w writer) quiet(p words.Phrase) Prose { return Prose{Text: w.say(p), Quiet: true} }

// pair adds a value with its label, unless it is empty.
func (w writer) pair(p *Pairs, label words.Label, value string) {
	if value != "" {
		*p = append(*p, Pair{w.say(label), value})
	}
}

// column is one of texts.
func (w writer) column(head words.Column, width float64) Column {
	return Column{Head: w.say(head), Width: width}
}

// measures is a column of numbers in a unit.
func (w writer) measures(head words.Column, in words.Unit, width float64) Column {
	return Column{Head: w.say(head), Unit: w.say(in), Width: width, Right: true}
}

// status is a cell of one or two words.
func (w writer) status(p words.Phrase, tone Tone) Cell {
	return Cell{Text: w.say(p), Tone: tone, Bold: true}
}

// missing stands where there is no value.
var missing = Cell{Text: "–", Tone: Quiet}

func (w writer) notices() []string {
	var all []string
	if w.r.Simulated() {
		all = append(all, w.say(words.SimulatedWarning))
	}
	switch w.o.SealedBy.Kind {
	case KeyHolder:
	case ThrowAwayKey:
		all = append(all, w.say(words.ThrowAwayWarning))
	default:
		all = append(all, w.say(words.UnsignedWarning))
	}
	return all
}

var resultTones = map[judge.Overall]Tone{
	judge.Satisfactory: Good, judge.WithLimitations: Warn, judge.Unsatisfactory: Bad,
	judge.NotFinished: Warn,
}

func (w writer) banner() Banner {
	a := w.a
	b := Banner{Tone: resultTones[a.Result()], Word: w.say(words.Titled{Of: a.Result()}),
		Sentence: w.say(words.ResultSentence(a.Result()))}
	if open, all := a.Open(); open > 0 {
		b.Sentence = w.say(words.StillOpen{Open: open, All: all})
	}
	figure := func(value string, label words.Phrase) {
		b.Figures = append(b.Figures, Figure{value, w.say(label)})
	}
	figure(w.say(words.OutOf{N: a.Counts()[record.Proved], All: len(a.Detectors())}), words.DetectorsProvedLabel)
	if a.Summary().N > 0 {
		figure(w.seconds(a.Summary().P50), words.MedianFigure{Limit: a.Summary().Limit})
	}
	figure(w.count(len(a.Findings())), words.FindingsFigure{N: len(a.Findings())})
	figure(w.count(len(a.Limitations())), words.LimitationsFigure{N: len(a.Limitations())})
	return b
}

// seconds is a measured time with its unit.
func (w writer) seconds(v float64) string {
	return w.say(words.Quantity{Value: v, Decimals: 2, In: words.Second})
}

func (w writer) premises() Section {
	s := w.r.Site()
	var p Pairs
	detail := func(kind words.DetailKind, text string) words.Phrase { return words.Detail{Kind: kind, Text: text} }
	add := func(label words.Label, own []words.Phrase, more ...words.Phrase) {
		w.pair(&p, label, w.commas(append(own, more...)...))
	}
	add(words.PremisesLabel, typed(s.Premises.Name, s.Premises.Address))
	add(words.CustomerLabel, typed(s.Customer.Name, s.Customer.Contact))
	w.pair(&p, words.UseLabel, w.semicolons(typed(s.Premises.Use, s.Premises.Part)...))
	add(words.InstallerLabel, typed(s.Installer.Company, s.Installer.Address, s.Installer.Phone),
		detail(words.LicenceDetail, s.Installer.Licence))
	add(words.DeclaredLabel, typed(s.Declared.Standard), detail(words.GradeDetail, s.Declared.Grade),
		detail(words.ClassDetail, s.Declared.Class))
	w.pair(&p, words.DeparturesLabel, s.Declared.Departures)
	c := s.Controller
	add(words.ControllerLabel, typed(c.Description, c.Location, c.Software, c.Connection))
	add(words.MonitoringLabel, typed(s.Monitoring.Centre), detail(words.AccountDetail, s.Monitoring.Account),
		words.AsTyped(s.Monitoring.Path))
	adapter, b, standby := s.Supply.Adapter, s.Supply.Battery, s.Supply.Standby
	add(words.AdapterLabel, typed(adapter.Rating.Text, adapter.Voltage.Text, adapter.Location))
	add(words.BatteryLabel, typed(b.Chemistry, b.Capacity.Text), detail(words.RateDetail, b.HourRating.Text),
		detail(words.FittedDetail, b.Fitted), words.AsTyped(b.Location))
	add(words.StandbyLabel, typed(standby.For.Text), detail(words.AlarmForDetail, standby.AlarmFor.Text),
		words.AsTyped(standby.Source))
	w.pair(&p, words.InsurerLabel, s.Insurer)
	blocks := []Block{p}
	if s.Declared.Standard+s.Declared.Grade+s.Declared.Class != "" {
		blocks = append(blocks, w.quiet(words.DeclaredNote))
	}
	return w.section(words.PremisesHeading, blocks...)
}

func (w writer) visit() Section {
	r := w.r
	opened := r.Opened()
	var p Pairs
	w.pair(&p, words.VisitKindLabel, w.commas(opened.Visit, words.Detail{Kind: words.FollowsDetail, Text: opened.Follows}))
	w.pair(&p, words.BegunLabel, w.say(words.Span{From: r.Local(r.Begun()), To: r.Local(r.Attended())}))
	w.pair(&p, words.ExtentLabel, w.say(w.extent()))
	w.pair(&p, words.BreaksLabel, w.breaks())
	w.pair(&p, words.DocumentLabel, opened.Number)
	w.pair(&p, words.MadeWithLabel, w.commas(words.AsTyped(w.o.Tool),
		words.Detail{Kind: words.RecordedDetail, Text: opened.Tool}))
	if m := r.Voltmeter(); m != nil {
		w.pair(&p, words.VoltmeterLabel, w.commas(words.AsTyped(m.Name),
			words.Detail{Kind: words.CalibratedDetail, Text: m.Calibrated}, words.MeterUncertainty{Volt: m.Uncertainty}))
	}
	return w.section(words.VisitHeading, p)
}

func (w writer) extent() words.Extent {
	tried := 0
	for _, d := range w.a.Detectors() {
		if d.Trials > 0 {
			tried++
		}
	}
	return words.Extent{Detectors: len(w.a.Detectors()), OfSite: w.r.Site().Detectors(), Tried: tried,
		OutputTrials: len(w.a.Outputs()), Checks: len(w.a.Checklist())}
}

func (w writer) breaks() string {
	var parts []words.Phrase
	for _, b := range w.r.Breaks() {
		from, to := w.local(b)
		parts = append(parts, words.Pause{From: from, To: to, Why: b.Why})
	}
	for _, b := range w.r.Outages() {
		from, to := w.local(b)
		parts = append(parts, words.Outage{From: from, To: to})
	}
	if len(parts) > 6 {
		parts = append(parts[:5], words.MorePauses{N: len(parts) - 5})
	}
	return w.semicolons(parts...)
}

// local are the times of a break as pages show them; an open end stays zero.
func (w writer) local(b record.Break) (from, to time.Time) {
	if !b.To.IsZero() {
		to = w.r.Local(b.To)
	}
	return w.r.Local(b.From), to
}

func (w writer) outstanding() Section {
	var items Items
	for _, f := range w.a.Findings() {
		items = append(items, Item{f.ID, Bad, w.say(f.Subject), w.say(f)})
	}
	for _, f := range w.a.Limitations() {
		items = append(items, Item{f.ID, Warn, w.say(f.Subject), w.say(f)})
	}
	if len(items) == 0 {
		return w.section(words.OutstandingHeading, w.prose(words.NoneNote))
	}
	return w.section(words.OutstandingHeading, w.quiet(words.MarksNote), items)
}

var verdictTones = map[record.Verdict]Tone{
	record.Proved: Good, record.Undecided: Warn, record.NotTested: Warn, record.Late: Bad, record.Silent: Bad,
	record.Crossed: Bad, record.Inverted: Bad, record.Unsteady: Bad,
}

func (w writer) detectors() Section {
	if len(w.a.Detectors()) == 0 {
		return w.section(words.NoScheduleHeading, w.prose(words.NoDetectorNote))
	}
	return w.section(words.ScheduleHeading, w.detectorTable(w.a.Detectors()), w.quiet(w.walkTestLimits()))
}

func (w writer) walkTestLimits() words.WalkTestLimits {
	l := w.r.Site().Limits
	limits := words.WalkTestLimits{Steady: l.Steady}
	used := map[site.DetectorKind]bool{}
	for _, d := range w.a.Detectors() {
		used[d.Detector.Kind] = true
	}
	for _, name := range site.Kinds {
		if kind := site.DetectorKind(name); used[kind] {
			limits.Response = append(limits.Response, words.KindLimit{Kind: kind, Limit: l.Response[kind]})
			limits.ListenFor = append(limits.ListenFor, words.KindLimit{Kind: kind, Limit: l.ListenFor[kind]})
			limits.Restore = append(limits.Restore, words.KindLimit{Kind: kind, Limit: l.Restore[kind]})
		}
	}
	return limits
}

func (w writer) detectorTable(lines []judge.DetectorLine) Table {
	trials := w.column(words.TrialsColumn, 10)
	trials.Right = true
	t := Table{Columns: []Column{
		w.column(words.PointColumn, 12), w.column(words.DetectorColumn, 46), w.column(words.ZoneColumn, 33),
		w.measures(words.ResponseColumn, words.Second, 17), {Width: 17},
		w.measures(words.RestoredColumn, words.Second, 16), w.measures(words.UncertaintyColumn, words.Second, 10),
		trials, w.column(words.VerdictColumn, 19),
	}}
	for _, d := range lines {
		t.Rows = append(t.Rows, w.detectorRow(d))
	}
	return t
}

func (w writer) detectorRow(d judge.DetectorLine) Row {
	response, restored, bar, u := missing, missing, Cell{}, Cell{}
	limit := w.r.Site().Limits.Response[d.Detector.Kind].SI
	if d.Operated.Answered() {
		seconds := d.Operated.Response.Seconds()
		response = Cell{Text: w.number(seconds, 2)}
		u = Cell{Text: w.number(d.Operated.Uncertainty.Seconds(), 2), Tone: Quiet}
		bar.Bar = &Bar{Value: seconds, Limit: limit, Full: limit * 1.5, Tone: verdictTones[d.Operated.Verdict]}
	}
	if d.Restored.Answered() {
		restored = Cell{Text: w.number(d.Restored.Response.Seconds(), 2)}
	}
	return Row{Cells: []Cell{{Text: string(d.Name.Point), Bold: true}, {Text: d.Detector.Name},
		w.zone(d.Zone), response, bar, restored, u, {Text: w.count(d.Trials)},
		w.status(d.Verdict, verdictTones[d.Verdict])}, Remark: w.detectorRemark(d)}
}

// zone is a zone in a column of zones.
func (w writer) zone(z *site.Zone) Cell {
	return Cell{Text: w.say(words.ZoneEntry(programme.NameOfZone(z))), Tone: Quiet}
}

// detectorRemark is what was before the last trial, and what was remarked.
func (w writer) detectorRemark(d judge.DetectorLine) string {
	var parts []words.Phrase
	if d.Trials > 1 {
		parts = append(parts, words.LastTrial{Verdict: d.Verdict, Trials: d.Trials, Earlier: earlier(d)})
	}
	if n := d.Outcome.BrokenOff(); n > 0 {
		parts = append(parts, words.BrokenOff{Trials: n})
	}
	return w.semicolons(append(parts, typed(d.Remarks...)...)...)
}

// earlier are the trials before the last.
func earlier(d judge.DetectorLine) []words.EarlierTrial {
	var all []words.EarlierTrial
	tried := d.Outcome.Tried()
	for _, t := range tried[:len(tried)-1] {
		j := t.Operate.Judge()
		all = append(all, words.EarlierTrial{Verdict: t.Verdict(), WhenRestored: j.Verdict == record.Proved,
			Reported: j.Answered(), Operated: j.Response})
	}
	return all
}

func (w writer) response() Section {
	var blocks []Block
	if w.a.Summary().N > 0 {
		blocks = append(blocks, w.strip(), w.prose(words.ResponseTimes{Of: w.a.Summary()}))
	}
	if p := w.a.Proof(); p.Operations > 0 {
		blocks = append(blocks, w.prose(words.ReportingProof{Of: p}))
	}
	for _, l := range sourcesOnce(w.r.Sources()) {
		blocks = append(blocks, w.quiet(words.HowTimed{By: l}))
	}
	return w.section(words.ResponseHeading, blocks...)
}

// strip shows every response time on one axis.
func (w writer) strip() Strip {
	s := w.a.Summary()
	brief := func(v float64) string {
		return w.say(words.Quantity{Value: math.Round(v*1000) / 1000, Decimals: words.AsNeeded, In: words.Second})
	}
	strip := Strip{Values: w.a.Responses(), Full: math.Max(s.Limit*1.25, s.Max*1.05),
		Limit: Mark{s.Limit, w.say(words.LimitLabel), brief(s.Limit)},
		Marks: []Mark{{s.P50, w.say(words.MedianLabel), w.seconds(s.P50)},
			{s.P90, w.say(words.NinetyLabel), w.seconds(s.P90)}}}
	for v, step := 0.0, tickStep(strip.Full); v <= strip.Full; v += step {
		strip.Ticks = append(strip.Ticks, Mark{At: v, Text: brief(v)})
	}
	return strip
}

// tickStep is a round step that divides an axis into four to ten parts.
func tickStep(full float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(full)))
	for full/step < 4 {
		step /= 2
	}
	return step
}

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
