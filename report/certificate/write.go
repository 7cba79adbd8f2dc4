package certificate

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// Options are what a certificate says of its own making.
type Options struct {
	Language words.Language // of all that no person typed; required
	Revision int
	Summary  bool   // page one alone, of the same revision
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
		Paper:     paperOf(w.r.Site().Paper),
		Logo:      w.r.Logo(),
		Colour:    w.r.Site().Brand.Colour,
		Language:  o.Language,
		Tool:      o.Tool,
		Installer: w.say(words.Named(w.r.Site().Installer.Company)),
		Number:    w.documentNumber(),
		Journal:   o.Journal,
		Title:     w.title(),
		Subtitle: w.commas(words.Named(w.r.Site().Premises.Name),
			words.VisitOf{Kind: w.r.Opened().Visit, Day: w.r.Local(w.r.Begun())}),
		Notices: w.notices(),
		Dangers: w.dangers(),
		Banner:  w.banner(),
	}
	d.Front = w.front()
	if o.Summary {
		return d
	}
	d.Sections = []Section{w.outstanding(), w.premises(), w.visit()}
	for _, s := range []Section{w.settled(), w.changes()} {
		if len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	d.Sections = append(d.Sections, w.detectors())
	for _, s := range []Section{w.limits(), w.since(), w.response(), w.system(), w.cables(), w.supply(), w.outputs(),
		w.alarm(), w.computed(), w.found(), w.told(), w.photographs(), w.corrected(),
		w.cautions(), w.earlier(), w.names(), w.seal(),
		w.looks(), w.checklist(), w.eachDrop(), w.numbers()} { // what only some read, behind the names
		if len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	d.printedAs(w.r.Site().Printed)
	if d.unshown() {
		d.Sections[0].Blocks = append(d.Sections[0].Blocks, w.quiet(words.UnshownNote))
	}
	return d
}

type writer struct {
	a *judge.Assessment
	r *record.Record
	o Options
}

func (w writer) title() string {
	if w.o.Summary {
		return w.say(words.SummaryHeading)
	}
	return w.say(words.CertificateHeading)
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
		all = append(all, words.Named(t))
	}
	return all
}

// measured are quantities, as somebody typed them.
func measured(texts ...string) []words.Phrase {
	var all []words.Phrase
	for _, t := range texts {
		all = append(all, words.Measured(t))
	}
	return all
}

// remarked are remarks, reasons and notes that somebody typed.
func remarked(texts ...string) []words.Phrase {
	var all []words.Phrase
	for _, t := range texts {
		all = append(all, words.Remarked(t))
	}
	return all
}

// number is a value with so many decimals.
func (w writer) number(value float64, decimals int) string {
	return w.o.Language.Number(value, decimals)
}

func (w writer) count(n int) string { return w.number(float64(n), 0) }

func (w writer) section(title words.Heading, blocks ...Block) Section {
	return Section{Title: w.say(title), Blocks: blocks}
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

// resultSigns are those of verdicts: what holds with limitations is half of what passed.
var resultSigns = map[judge.Overall]Sign{
	judge.Satisfactory: PassedSign, judge.WithLimitations: LimitedSign, judge.Unsatisfactory: FailedSign,
	judge.NotFinished: UntestedSign,
}

func (w writer) banner() Banner {
	a := w.a
	b := Banner{Tone: resultTones[a.Result()], Sign: resultSigns[a.Result()], Word: w.say(words.Titled{Of: a.Result()}),
		Sentence: w.say(words.ResultSentence(a.Result()))}
	if open, all := a.Open(); open > 0 {
		b.Sentence = w.say(words.StillOpen{Open: open, All: all})
	}
	figure := func(value string, label words.Phrase) {
		b.Figures = append(b.Figures, Figure{value, w.say(label)})
	}
	timed, reported := a.Counts()[record.Proved], a.Counts()[record.Reported]
	figure(w.say(words.OutOf{N: timed, All: len(a.Detectors())}), words.PassedFigure)
	figure(w.count(reported), words.ReportedFigure)
	figure(w.count(a.NotTested()), words.UntestedFigure)
	figure(w.count(len(a.Findings())), words.FindingsFigure{N: len(a.Findings()), Of: graded(a.Findings())})
	figure(w.count(len(a.Limitations())), words.LimitationsFigure{N: len(a.Limitations())})
	return b
}

// seconds is a measured time with its unit.
func (w writer) seconds(v float64) string {
	return w.say(words.Quantity{Value: v, Decimals: 2, In: words.Second})
}
