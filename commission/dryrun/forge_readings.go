package dryrun

import (
	"encoding/json"
	"slices"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// readingForgeries are wrong about readings, instruments, texts, names and checklists.
var readingForgeries = slices.Concat(measuredForgeries, textForgeries, answerForgeries, nameForgeries,
	programmeForgeries)

// last is the last of some places.
func last(at []int) int { return at[len(at)-1] }

// editing changes the first entry of a kind whose body has a value under a key.
func editing[F record.Fact](key string, value any, change func(*F)) func(*Forged) {
	return func(f *Forged) {
		var none F
		Edit(f, f.Where(none.Kind(), key, value)[0], change)
	}
}

// editingLast changes the last entry of a kind.
func editingLast[F record.Fact](change func(*F)) func(*Forged) {
	return func(f *Forged) {
		var none F
		Edit(f, last(f.Of(none.Kind())), change)
	}
}

// reading changes the first reading of a quantity.
func reading(of record.Quantity, change func(*record.Reading)) func(*Forged) {
	return editing("quantity", of, change)
}

// meter changes the voltmeter and nothing that was read with it.
func meter(change func(*record.Instrument)) func(*Forged) { return editingLast(change) }

// source changes how signals are said to come.
func source(change func(*signal.Listening)) func(*Forged) { return editingLast(change) }

var measuredForgeries = []Forgery{
	{"a meter of ± 5 V beside readings of ± 0.05 V", record.LawOneInstrument,
		meter(func(m *record.Instrument) { m.Uncertainty = 5 })},
	{"readings better than their meter", record.LawOneInstrument,
		reading(record.VoltageReading, func(r *record.Reading) { r.Uncertainty = 0 })},
	{"a reading with a laboratory's meter", record.LawOneInstrument,
		reading(record.VoltageReading, func(r *record.Reading) { r.Instrument = "reference voltmeter" })},
	{"a current with an uncertainty that nobody stated", record.LawOneInstrument,
		reading(record.CurrentReading, func(r *record.Reading) { r.Uncertainty = 0.001 })},
	{"the voltmeter is named when all is read", record.LawInstrumentFirst, func(f *Forged) {
		named := f.Of("instrument")[0]
		e := f.Entries[named]
		f.Remove(named)
		after := last(f.Where("reading", "quantity", record.VoltageReading))
		e.At, e.Elapsed = f.Entries[after].At, f.Entries[after].Elapsed
		f.Entries = slices.Insert(f.Entries, after+1, e)
	}},
	{"nobody said what it was read with", record.LawInstrumentFirst, func(f *Forged) {
		f.Put(f.Of("instrument")[0], record.Answer{Step: programme.IDVoltmeter, Result: record.LeftOut, Remark: "none"})
	}},
	{"a calibration that is no day", record.LawInstrument,
		meter(func(m *record.Instrument) { m.Calibrated = "traceable, in date" })},
	{"a calibration on the 31st of February", record.LawInstrument,
		meter(func(m *record.Instrument) { m.Calibrated = "2027-02-31" })},
	{"an instrument without a name", record.LawInstrument, meter(func(m *record.Instrument) { m.Name = "" })},
	{"an uncertainty below nothing", record.LawInstrument, meter(func(m *record.Instrument) { m.Uncertainty = -0.05 })},
	{"simulated signals timed by the computer", record.LawWay,
		source(func(l *signal.Listening) { l.TimedBy = signal.ByComputer })},
	{"a simulated source that is said to be real", record.LawWay,
		source(func(l *signal.Listening) { l.Simulated = false })},
	{"an accredited laboratory took the times", record.LawKnownCodes,
		source(func(l *signal.Listening) { l.TimedBy = "accredited laboratory, traceable" })},
	{"signals came in a certified way", record.LawKnownCodes,
		source(func(l *signal.Listening) { l.Way = "certified" })},
	{"12 A typed, 0.34 A kept", record.LawValueAsTyped,
		reading(record.CurrentReading, func(r *record.Reading) { r.AsTyped, r.Value = "12 A", 0.34 })},
	{"96 dB typed, 126 dB kept", record.LawValueAsTyped, reading(record.LevelReading, func(r *record.Reading) {
		r.AsTyped, r.Value = "96 dB at 1 m", 126
	})},
	{"a level nearer than it was read", record.LawValueAsTyped,
		reading(record.LevelReading, func(r *record.Reading) { r.Distance = 10 * r.Distance })},
	{"surroundings that nobody typed", record.LawValueAsTyped,
		reading(record.LevelReading, func(r *record.Reading) { r.Ambient += 20 })},
	{"a better class of meter", record.LawValueAsTyped,
		reading(record.LevelReading, func(r *record.Reading) { r.MeterClass = 3 - r.MeterClass })},
	{"a level in sones", record.LawValueAsTyped,
		reading(record.LevelReading, func(r *record.Reading) { r.Unit = "sone" })},
	{"a voltage in kilovolts", record.LawValueAsTyped,
		reading(record.VoltageReading, func(r *record.Reading) { r.Unit = "kV" })},
	{"a voltage that was not typed", record.LawValueAsTyped,
		reading(record.VoltageReading, func(r *record.Reading) { r.AsTyped = "" })},
	{"a voltage from a distance", record.LawValueAsTyped,
		reading(record.VoltageReading, func(r *record.Reading) { r.Distance = 3 })},
	{"a minute typed, a quarter of an hour kept", record.LawValueAsTyped, func(f *Forged) {
		f.Put(f.Where("reading", "quantity", record.LevelReading)[0], record.Reading{Step: "outputs/Sounder",
			Quantity: record.CutOffReading, Value: 900, Unit: "s", AsTyped: "1 min"})
	}},
	{"a kilohm typed, 4.7 kept", record.LawValueAsTyped, func(f *Forged) {
		f.Put(f.Of("cue")[0], record.Reading{Step: "walk/1.1", Quantity: record.LoopReading, Value: 4700, Unit: "ohm",
			AsTyped: "1 kohm"})
	}},
	{"129 V that nobody confirmed", record.LawDoubts,
		reading(record.VoltageReading, func(r *record.Reading) { r.AsTyped, r.Value = "129 V", 129 })},
	{"-12.9 V that nobody confirmed", record.LawDoubts,
		reading(record.VoltageReading, func(r *record.Reading) { r.AsTyped, r.Value = "-12.9 V", -12.9 })},
	{"9 A that nobody confirmed", record.LawDoubts,
		reading(record.CurrentReading, func(r *record.Reading) { r.AsTyped, r.Value = "9 A", 9 })},
	{"a level of 190 dB that nobody confirmed", record.LawDoubts, reading(record.LevelReading, func(r *record.Reading) {
		*r = record.Reading{Step: r.Step, Quantity: r.Quantity, Unit: r.Unit, AsTyped: "190 dB at 1 m", Value: 190,
			Distance: 1}
	})},
	{"a level from 400 m that nobody confirmed", record.LawDoubts, reading(record.LevelReading, func(r *record.Reading) {
		*r = record.Reading{Step: r.Step, Quantity: r.Quantity, Unit: r.Unit, AsTyped: "90 dB at 400 m", Value: 90,
			Distance: 400}
	})},
	{"a usual voltage that was confirmed", record.LawDoubts,
		reading(record.VoltageReading, func(r *record.Reading) { r.Confirmed = true })},
	{"a resistance of the supply", record.LawFitsStep,
		reading(record.VoltageReading, func(r *record.Reading) { r.Quantity = record.LoopReading })},
	{"a voltage of a sounder", record.LawFitsStep,
		reading(record.LevelReading, func(r *record.Reading) { r.Quantity = record.VoltageReading })},
}

// name changes whose name stands under the visit.
func name(of programme.Role, change func(*record.Signed)) func(*Forged) {
	return editing("role", of, change)
}

// noted puts a note before the first cue.
func noted(text string) func(*Forged) {
	return func(f *Forged) { f.Insert(f.Of("cue")[0], 0, record.Note{Step: "walk/1.1", Text: text}) }
}

// siteText changes a text of the site file that the journal has in it.
func siteText(from, to string) func(*Forged) {
	return editingLast(func(o *record.Opened) { o.Site = strings.Replace(o.Site, from, to, 1) })
}

var textForgeries = []Forgery{
	{"a name across a line break", record.LawTypedLines,
		name(programme.Technician, func(s *record.Signed) { s.Name += "\nAPPROVED BY THE INSURER" })},
	{"a name that is turned round", record.LawTypedLines,
		name(programme.Customer, func(s *record.Signed) { s.Name = "\u202e" + s.Name })},
	{"a name with a zero width space", record.LawTypedLines,
		name(programme.Technician, func(s *record.Signed) { s.Name += "\u200b" })},
	{"a licence with a tab", record.LawTypedLines,
		name(programme.Technician, func(s *record.Signed) { s.Licence = "BA\t2217" })},
	{"a position across a paragraph", record.LawTypedLines,
		name(programme.Customer, func(s *record.Signed) { s.Position = "owner\u2029Result: SATISFACTORY" })},
	{"a note that moves the cursor", record.LawTypedLines, noted("as it is\x1b[2J\x1b[H")},
	{"a note of a thousand lines", record.LawTypedLines, noted(strings.Repeat("a line of many\n", 1000))},
	{"a note without end", record.LawTypedLines, noted(strings.Repeat("w", 4001))},
	{"an instrument across a line break", record.LawTypedLines,
		meter(func(m *record.Instrument) { m.Name += "\ncalibrated by an accredited laboratory" })},
	{"a typed value with a bell", record.LawTypedLines,
		reading(record.VoltageReading, func(r *record.Reading) { r.AsTyped += "\a" })},
	{"an action across a line break", record.LawTypedLines, func(f *Forged) {
		f.Insert(f.Of("signed")[0], 0, record.Undertaken{Said: json.RawMessage("{}"), Action: "none\nResult: SATISFACTORY"})
	}},
	{"a caption across a line break", record.LawTypedLines, func(f *Forged) {
		f.Insert(len(f.Entries)-1, 0, photograph(func(p *record.Photographed) { p.Caption = "the sounder\nAPPROVED" }))
	}},
	{"a line of a checklist across a line break", record.LawTypedLines,
		editingLast(func(o *record.Opened) {
			line := slices.IndexFunc(o.Programme, func(st programme.Step) bool {
				return st.Kind == programme.StepCheck && st.Stage == programme.StageInspection
			})
			o.Programme[line].Text = "all is well\nAPPROVED"
		})},
	{"a program with a line break in its name", record.LawTextsSeen,
		editingLast(func(o *record.Opened) { o.Tool += "\nCertified" })},
	{"a payload that clears the screen", record.LawTextsSeen,
		editingLast(func(s *signal.Signal) { s.Raw = "\x1b[2J" })},
	{"premises with a line break", record.LawSiteFile,
		siteText("Saltglaze Pottery Studio", `"Saltglaze Pottery Studio\nAPPROVED BY THE INSURER"`)},
	{"a zone that is turned round", record.LawSiteFile, siteText("Shop door", "\"\u202eShop door\"")},
	{"a company without end", record.LawSiteFile, siteText("Bellbird Alarm Services", strings.Repeat("w", 4001))},
	{"no site file", record.LawSiteFile, editingLast(func(o *record.Opened) { o.Site = "approved: yes" })},
}

// answered changes the answer to a step.
func answered(step string, change func(*record.Answer)) func(*Forged) {
	return editing("step", step, change)
}

var answerForgeries = []Forgery{
	{"not checked, for no reason", record.LawRemarks, answered("inspection/people-told", func(a *record.Answer) {
		a.Result, a.Remark = record.LeftOut, ""
	})},
	{"not applicable, for a reason that is a blank", record.LawRemarks,
		answered("inspection/people-told", func(a *record.Answer) { a.Result, a.Remark = record.NotApplicable, " " })},
	{"mains not removed, for no reason", record.LawRemarks,
		answered(programme.IDMainsOff, func(a *record.Answer) { a.Result, a.Remark = record.LeftOut, "" })},
	{"done, and a remark that speaks for us", record.LawRemarks,
		answered("inspection/on-test", func(a *record.Answer) { a.Remark = "none. Result: SATISFACTORY" })},
	{"an item done that was answered with a defect", record.LawPartAnswers,
		func(f *Forged) {
			const step = "inspection/people-told"
			f.Insert(f.last("answer", "step", step), 0,
				record.PartAnswer{Step: step, Question: step, Text: string(record.Defect)})
		}},
	{"a strobe that works and was not seen", record.LawPartAnswers,
		editing("question", "outputs/Strobe/observed", func(p *record.PartAnswer) { p.Text = string(record.No) })},
	{"another meter than was answered", record.LawPartAnswers,
		editing("question", programme.IDVoltmeter, func(p *record.PartAnswer) { p.Text = "a borrowed meter" })},
	{"another day of calibration than was answered", record.LawPartAnswers,
		editing("question", programme.IDVoltmeter+"/calibrated", func(p *record.PartAnswer) { p.Text = "2019-01-01" })},
	{"another uncertainty than was answered", record.LawPartAnswers,
		editing("question", programme.IDVoltmeter+"/uncertainty", func(p *record.PartAnswer) { p.Text = "5 V" })},
	{"another level than was answered", record.LawPartAnswers,
		editing("question", "outputs/Sounder/level", func(p *record.PartAnswer) { p.Text = "62 dB at 1 m" })},
	{"an answer to a question of another step", record.LawPartAnswers,
		editing("question", "outputs/Strobe/observed",
			func(p *record.PartAnswer) { p.Question = "outputs/Sounder/observed" })},
	{"a trial is struck that there was not", record.LawStruck, func(f *Forged) {
		f.Insert(f.Of("cue")[0], 0, record.Struck{Step: "walk/1.1", Trial: 7, Reason: "a door was open"})
	}},
	{"a trial is struck for no reason", record.LawStruck, func(f *Forged) {
		f.Insert(f.Where("cue", "step", "walk/2.1")[0], 0, record.Struck{Step: "walk/1.1", Trial: 1, Reason: " "})
	}},
	{"nothing is undertaken", record.LawUndertaking, func(f *Forged) {
		f.Insert(f.Of("signed")[0], 0, record.Undertaken{Said: json.RawMessage("{}")})
	}},
	{"something is undertaken soon", record.LawUndertaking, func(f *Forged) {
		f.Insert(f.Of("signed")[0], 0, record.Undertaken{Said: json.RawMessage("{}"), Action: "repair", By: "soon"})
	}},
	{"something is undertaken by a day before the visit", record.LawDays, func(f *Forged) {
		f.Insert(f.Of("signed")[0], 0, record.Undertaken{Said: json.RawMessage("{}"), Action: "repair", By: "2020-01-01"})
	}},
	{"a calibration that lasts for ever", record.LawDays, func(f *Forged) {
		Edit(f, f.Of("instrument")[0], func(i *record.Instrument) { i.Calibrated = "9999-12-31" })
		for _, at := range f.Where("part-answer", "question", programme.IDVoltmeter+"/calibrated") {
			Edit(f, at, func(p *record.PartAnswer) { p.Text = "9999-12-31" })
		}
	}},
	{"a result is corrected", record.LawCorrected, func(f *Forged) {
		at := f.Where("answer", "step", "inspection/on-test")[0]
		f.Insert(f.Of("signed")[0], 0,
			record.Corrected{Entry: f.Entries[at].N, Field: "result", Text: "done", Reason: "a slip", By: "Wren"})
	}},
	{"a note that says nothing", record.LawNotes, noted(" ")},
}

var nameForgeries = []Forgery{
	{"a technician without a name", record.LawSignature,
		name(programme.Technician, func(s *record.Signed) { s.Name = "" })},
	{"a name of nothing that is seen", record.LawSignature,
		name(programme.Technician, func(s *record.Signed) { s.Name = "\u2800" })},
	{"a technician who refuses", record.LawSignature,
		name(programme.Technician, func(s *record.Signed) { s.Refused = true })},
	{"a customer who refuses and signs", record.LawSignature,
		name(programme.Customer, func(s *record.Signed) { s.Refused = true })},
	{"a customer who signs and is named otherwise", record.LawSignature,
		name(programme.Customer, func(s *record.Signed) { s.Called = "nobody" })},
	{"a customer who is not there, for no reason", record.LawSignature, name(programme.Customer,
		func(s *record.Signed) { *s = record.Signed{Step: s.Step, Role: s.Role} })},
	{"a customer who is not there and accepts", record.LawSignature, name(programme.Customer,
		func(s *record.Signed) { s.Name, s.Position = "", "abroad" })},
	{"the customer signs first", record.LawSignedInTurn, func(f *Forged) {
		signed := f.Of("signed")
		a, b := &f.Entries[signed[0]], &f.Entries[signed[1]]
		a.Body, b.Body = b.Body, a.Body
	}},
	{"all is signed before it is done", record.LawSignedLast, func(f *Forged) {
		at := f.Of("signed")
		technician := f.Entries[at[0]]
		f.Remove(at[0])
		to := last(f.Of("answer"))
		technician.At, technician.Elapsed = f.Entries[to-1].At, f.Entries[to-1].Elapsed
		f.Entries = slices.Insert(f.Entries, to, technician)
	}},
	{"a finding is accepted twice", record.LawAccepted, name(programme.Customer,
		func(s *record.Signed) { s.Accepted = append(s.Accepted, s.Accepted[0]) })},
	{"a finding that has no number", record.LawAccepted,
		name(programme.Customer, func(s *record.Signed) { s.Accepted[0].ID = "APPROVED" })},
	{"a finding is accepted that there is not", record.LawAccepted, name(programme.Customer, func(s *record.Signed) {
		s.Accepted = append(s.Accepted, record.Acceptance{ID: "F99", Said: json.RawMessage(`{"what":"none"}`),
			Shown: "nothing was found"})
	})},
	{"a drawing that is none", record.LawDrawing,
		name(programme.Customer, func(s *record.Signed) { s.Drawing = []byte("APPROVED") })},
	{"a photograph without pixels", record.LawPhotograph, picture(func(p *record.Photographed) { p.Width = 0 })},
	{"a photograph without bytes", record.LawPhotograph, picture(func(p *record.Photographed) { p.Bytes = 0 })},
	{"a photograph without a hash", record.LawPhotograph, picture(func(p *record.Photographed) { p.SHA256 = "0" })},
	{"a photograph of another medium", record.LawPhotograph,
		picture(func(p *record.Photographed) { p.Media = "text/html" })},
	{"a photograph elsewhere", record.LawPhotograph,
		picture(func(p *record.Photographed) { p.Name = "../../photograph-1.jpg" })},
	{"a photograph taken in words", record.LawPhotograph,
		picture(func(p *record.Photographed) { p.Taken = "before the visit" })},
	{"a photograph of what is not fitted", record.LawPhotograph,
		picture(func(p *record.Photographed) { p.About = "zone/99" })},
}

// photograph is one that can be, with a change.
func photograph(change func(*record.Photographed)) record.Photographed {
	p := record.Photographed{Name: "photograph-1.jpg", About: record.AboutSite, SHA256: strings.Repeat("0a", 32),
		Bytes: 1000, Media: "image/jpeg", Width: 640, Height: 480}
	change(&p)
	return p
}

// picture adds a photograph to a visit.
func picture(change func(*record.Photographed)) func(*Forged) {
	return func(f *Forged) { f.Insert(len(f.Entries)-1, 0, photograph(change)) }
}

// steps changes which steps a visit takes.
func steps(change func(*record.Opened)) func(*Forged) { return editingLast(change) }

var programmeForgeries = []Forgery{
	{"no checklist at all", record.LawChecklist, func(f *Forged) {
		var listed []string
		Edit(f, 0, func(o *record.Opened) {
			o.Programme = slices.DeleteFunc(o.Programme, func(st programme.Step) bool {
				is := st.Kind == programme.StepCheck || ofCables(st)
				if is {
					listed = append(listed, st.ID)
				}
				return is
			})
		})
		f.Remove(f.Of("looked")...)
		for _, id := range listed {
			f.Remove(f.stepsOf(id)...)
		}
	}},
	{"a step that the site does not give", record.LawProgramme, steps(func(o *record.Opened) {
		o.Programme = append(o.Programme, programme.Step{ID: "walk/99.1", Stage: programme.StageWalkTest,
			Kind: programme.StepDetector, Point: "99.1", Zone: 99})
	})},
	{"steps in another order", record.LawProgramme, steps(func(o *record.Opened) { slices.Reverse(o.Programme) })},
	{"a hand-over that follows a visit", record.LawOpening,
		steps(func(o *record.Opened) { o.Follows = "2026-11-01-handover" })},
	{"a number that is a sentence", record.LawOpening,
		steps(func(o *record.Opened) { o.Number = "KP-0042/APPROVED BY THE INSURER" })},
	{"a number of another site", record.LawOpening, steps(func(o *record.Opened) { o.Number = "KP-9999/1" })},
	{"a retest that follows none", record.LawOpening, steps(func(o *record.Opened) { o.Visit = programme.Retest })},
}
