package certificate

import (
	"cmp"
	"slices"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

const (
	frontRows     = 30 // findings and limitations that page one could have room for at most
	frontInstants = 10 // of the one alarm
)

// front is page one: what a reader wants to know in five seconds, in the order in which they want it.
func (w writer) front() *Front {
	f := &Front{Facts: []Fact{w.testedBy(), w.testedFor(), w.sealedBy(), w.onTest(), w.nextVisit()},
		List: w.frontList(), Alarm: w.frontAlarm(),
		Supply:   FrontTable{w.say(words.FrontSupplyHeading), append(w.frontSupply(), w.frontOutputs()...)},
		Premises: FrontPairs{w.say(words.FrontPremisesHeading), w.frontPremises()},
		Legend:   w.legend(), Caution: w.say(words.CautionInShort)}
	if w.o.Summary {
		f.Summary = w.say(words.SummaryOf{Revision: max(1, w.o.Revision), Company: w.r.Site().Installer.Company})
	}
	return f
}

func (w writer) fact(label words.FrontLabel, value, detail string) Fact {
	return Fact{w.say(label), value, detail}
}

func (w writer) testedBy() Fact {
	signed := w.signedBy()
	if signed == nil {
		return w.fact(words.TestedBy, w.say(words.NobodySigned), "")
	}
	return w.fact(words.TestedBy, w.say(words.Named(signed.Name)), w.licence(signed.Licence))
}

func (w writer) testedFor() Fact {
	i := w.r.Site().Installer
	return w.fact(words.TestedFor, w.say(words.Named(i.Company)), w.licence(i.Licence))
}

func (w writer) licence(text string) string {
	if text == "" {
		return w.say(words.NoLicence)
	}
	return w.say(words.Detail{Kind: words.LicenceDetail, Text: text})
}

func (w writer) sealedBy() Fact {
	s := w.o.SealedBy
	switch s.Kind {
	case KeyHolder:
		const digits = 16 // to be compared by eye; all of them stand at the end
		begins := words.KeyBegins{Digits: grouped(s.Fingerprint[:min(digits, len(s.Fingerprint))])}
		return w.fact(words.SealedBy, w.say(words.Named(s.Name)), w.say(begins))
	case ThrowAwayKey:
		return w.fact(words.SealedBy, w.say(words.ThrowAwayKey), w.say(words.ThrowAwayMeans))
	}
	return w.fact(words.SealedBy, w.say(words.NotSealed), w.say(words.NotSealedMeans))
}

// onTest is when the receiving centre was told, as it was typed.
func (w writer) onTest() Fact {
	var times words.OnTestTimes
	reference, asked := "", false
	for _, s := range w.a.Checklist() {
		if s.Result() != record.Done && s.Result() != "" {
			continue
		}
		switch s.Step().Item {
		case programme.OnTestItem:
			asked, reference = true, s.Value()
		case programme.OnTestFromItem:
			asked, times.From = true, s.Value()
		case programme.OffTestItem:
			asked, times.To = true, s.Value()
		}
	}
	if !asked || times == (words.OnTestTimes{}) {
		return w.fact(words.OnTest, w.say(words.NotOnTest), "")
	}
	return w.fact(words.OnTest, w.say(times), w.say(words.Named(reference)))
}

func (w writer) nextVisit() Fact {
	next := w.a.Next()
	return w.fact(words.NextDueOn, w.say(words.DueOn{Of: next}), w.say(words.DueInterval{Of: next}))
}

// frontList are findings, then limitations, each the gravest first.
func (w writer) frontList() FrontList {
	l := FrontList{Title: w.say(words.FrontListHeading), Heads: [3]string{w.say(words.FrontPart), w.say(words.FrontWhat),
		w.say(words.FrontWho)}}
	findings, limitations := w.a.Findings(), w.a.Limitations()
	l.All = len(findings) + len(limitations)
	if l.All == 0 {
		l.None = w.say(words.NothingLeft)
	}
	for i, f := range append(findings, limitations...) {
		if i == frontRows {
			break
		}
		tone, rest := Bad, words.MoreOutstanding{Limitations: graded(limitations), Summary: w.o.Summary}
		if i < len(findings) {
			rest.Findings = graded(findings[i+1:])
		} else {
			tone, rest.Limitations = Warn, graded(limitations[i+1-len(findings):])
		}
		row := FrontRow{Mark: f.ID, Tone: tone, Grade: w.say(words.Grade(f.Severity())), Sign: graveLooks[f.Severity()],
			About: w.say(f.Subject), Text: w.say(words.Matter{Of: f}), Then: w.say(words.ToDo{Of: f}),
			Whom: w.say(words.TakenOn{Of: w.undertaken(f)})}
		if i+1 < l.All {
			row.Rest = w.say(rest)
		}
		l.Rows = append(l.Rows, row)
	}
	return l
}

// frontAlarm is the intrusion and what followed, and what the centre received of it; nil where there was none.
func (w writer) frontAlarm() *Timeline {
	var rows []judge.AlarmEvent
	for _, l := range w.a.Alarm() {
		if kind := l.Outcome.Step().Kind; kind == programme.StepIntrusion || kind == programme.StepReceipt {
			rows = append(rows, l.Rows...)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	slices.SortStableFunc(rows, func(a, b judge.AlarmEvent) int {
		return cmp.Or(cmp.Compare(unknownInstant(a), unknownInstant(b)), cmp.Compare(a.Since, b.Since))
	})
	never := len(rows) - slices.IndexFunc(append(slices.Clone(rows), judge.AlarmEvent{Never: true}),
		func(e judge.AlarmEvent) bool { return e.Never })
	t := &Timeline{Title: w.say(words.FrontAlarmHeading), OffScale: w.say(words.NotToScale),
		Says: w.say(words.AlarmInShort{Instants: len(rows) - never, Never: never, More: max(0, len(rows)-frontInstants)})}
	last := 0.0
	for _, row := range rows[:min(frontInstants, len(rows))] {
		ruled := rulings[row.Ruling]
		if row.Never {
			ruled = words.Ruled{Is: words.Failed}
		} else {
			last = max(last, row.Since.Seconds())
		}
		l := looks[ruled.Is]
		happened, of := []words.Phrase{}, row
		of.Detector = nil // its zone stands in the table of the alarm
		if happened = append(happened, of); row.Detector != nil {
			happened = append(happened, words.AsTyped(row.Detector.Point), words.Named(row.Detector.Name))
		}
		t.Instants = append(t.Instants, Instant{At: last, Text: w.commas(happened...),
			When: w.say(words.AlarmInstant{Of: row}), Sign: l.sign, Tone: l.tone})
	}
	return t
}

// unknownInstant orders what has no instant behind what has one, and what never came last.
func unknownInstant(e judge.AlarmEvent) int {
	switch {
	case e.Never:
		return 2
	case e.NotTimed != "" || e.What == judge.Received && e.Uncertainty == 0:
		return 1
	}
	return 0
}

// frontSupply is the supply with mains, without, under load, and the standby that is computed of it.
func (w writer) frontSupply() (rows []FrontValue) {
	var mains, off, loaded *judge.ReadingLine
	for _, l := range w.a.Readings() {
		step := l.Outcome.Step()
		switch {
		case step.ID == programme.IDMainsPresent:
			mains = &l
		case step.Load:
			loaded = later(loaded, l)
		case step.OnStandby():
			off = later(off, l)
		}
	}
	for _, l := range []*judge.ReadingLine{mains, off, loaded} {
		if l != nil {
			rows = append(rows, w.frontReading(*l))
		}
	}
	for _, c := range w.a.Computed() {
		if _, charging := c.Row.(judge.ChargingRow); charging && mains != nil && mains.Taken && mains.Limit.Open() &&
			c.Ruling != "" { // it is judged together with the others
			rows[0].Detail, rows[0].Verdict = w.o.Language.Computed(c).About, w.ruled(ofRow(c))
		}
	}
	for _, c := range w.a.Computed() {
		row := FrontValue{Name: w.say(words.StandbyInShort), Value: "–", Verdict: w.ruled(ofRow(c))}
		needs := words.StandbyNeeds{}
		switch r := c.Row.(type) {
		case judge.StandbyRow:
			needs.Need, needs.Fitted = r.Required, r.Fitted
			row.Detail = w.standbyFor(r.For, r.AlarmFor)
		case judge.EnergyRow:
			needs.Need, needs.Of, needs.InWattHours = r.Required, r.Energy, true
			row.Detail = w.standbyFor(r.For, r.AlarmFor)
		default:
			continue
		}
		if len(c.Missing) > 0 {
			row.Detail, row.Verdict = "", w.ruled(words.Ruled{Is: words.Untested})
		} else {
			row.Value = w.say(needs)
		}
		rows = append(rows, row)
	}
	return rows
}

// standbyFor is for how long, "" where nobody said.
func (w writer) standbyFor(standby, alarm string) string {
	if standby == "" {
		return ""
	}
	return w.say(words.StandbyFor{Standby: standby, Alarm: alarm})
}

// later is the last reading that was taken, of those that there are.
func later(a *judge.ReadingLine, b judge.ReadingLine) *judge.ReadingLine {
	if a == nil || b.Taken || !a.Taken {
		return &b
	}
	return a
}

func (w writer) frontReading(l judge.ReadingLine) FrontValue {
	step := l.Outcome.Step()
	row := FrontValue{Value: "–", Verdict: w.readingVerdict(l)}
	var name []words.Phrase
	switch {
	case step.ID == programme.IDMainsPresent:
		name = append(name, words.MainsInShort)
	case l.Reading != nil && l.Reading.WhileOff:
		name = append(name, words.WithoutMains{After: l.Reading.SinceOff.Round(time.Second)})
	default:
		name = append(name, words.WithoutMains{After: step.After()})
	}
	if step.Load {
		name = append(name, words.WithLoad)
	}
	row.Name = w.commas(name...)
	if l.Taken {
		row.Value = w.say(words.VoltsWithin{Volt: l.Reading.Value, Within: l.Uncertainty})
	}
	return row
}

// frontOutputs counts what was seen or heard of all that there are.
func (w writer) frontOutputs() []FrontValue {
	all, passed, count := w.a.Outputs(), 0, map[string]bool{}
	if len(all) == 0 {
		return nil
	}
	worst := words.Ruled{Is: words.Passed}
	kinds := map[site.OutputKind]bool{}
	var names []words.Phrase
	for _, o := range all {
		ruled := answered(o.Result)
		if held, tried := count[o.Output.Name]; !tried || held {
			count[o.Output.Name] = ruled.Is == words.Passed // each of its trials has to
		}
		if graver[ruled.Is] > graver[worst.Is] {
			worst = ruled
		}
		if !kinds[o.Output.Kind] {
			kinds[o.Output.Kind] = true
			names = append(names, o.Output.Kind)
		}
	}
	for _, held := range count {
		if held {
			passed++
		}
	}
	return []FrontValue{{Name: w.say(words.OutputsInShort), Value: w.say(words.OutOf{N: passed, All: len(count)}),
		Detail: w.commas(names...), Verdict: w.ruled(worst)}}
}

// frontPremises are premises and system in brief; all of it stands behind.
func (w writer) frontPremises() (p Pairs) {
	s := w.r.Site()
	w.pair(&p, words.CustomerLabel, w.commas(typed(s.Customer.Name)...))
	w.pair(&p, words.PremisesLabel, w.commas(typed(s.Premises.Address, s.Premises.Use)...))
	var all Pairs
	w.fitted(&all)
	p = append(p, all[:min(1, len(all))]...)
	w.pair(&p, words.ControllerLabel, w.commas(typed(s.Controller.Description, s.Controller.Software)...))
	w.pair(&p, words.DeclaredLabel, w.commas(append(typed(s.Declared.Standard),
		words.Detail{Kind: words.GradeDetail, Text: s.Declared.Grade},
		words.Detail{Kind: words.ClassDetail, Text: s.Declared.Class})...))
	w.pair(&p, words.MonitoringLabel, w.commas(append(typed(s.Monitoring.Centre),
		words.Detail{Kind: words.AccountDetail, Text: s.Monitoring.Account})...))
	w.pair(&p, words.InsurerLabel, w.say(words.Named(s.Insurer)))
	return p
}

// legend are all signs with what they mean.
func (w writer) legend() (all []LegendEntry) {
	for _, v := range []words.Verdict{words.Passed, words.PassedUntimed, words.Failed, words.Undecided, words.Untested,
		words.Informative} {
		all = append(all, LegendEntry{looks[v].sign, looks[v].tone, w.say(words.VerdictMeans(v))})
	}
	for _, s := range judge.Severities {
		all = append(all, LegendEntry{graveLooks[s], Plain, w.say(words.Grade(s))})
	}
	return all
}
