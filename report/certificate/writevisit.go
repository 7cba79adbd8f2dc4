package certificate

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func (w writer) visit() Section {
	r := w.r
	opened := r.Opened()
	var p Pairs
	w.pair(&p, words.VisitKindLabel, w.commas(opened.Visit, words.Detail{Kind: words.FollowsDetail, Text: opened.Follows}))
	w.pair(&p, words.TechnicianLabel, w.technician())
	w.pair(&p, words.BegunLabel, w.say(words.Span{From: r.Local(r.Begun()), To: r.Local(r.Attended())}))
	w.pair(&p, words.ExtentLabel, w.say(w.extent()))
	w.pair(&p, words.NextLabel, w.say(words.NextDue{Of: w.a.Next()}))
	w.pair(&p, words.BreaksLabel, w.breaks())
	if devices := r.Devices(); len(devices) > 0 {
		w.pair(&p, words.DevicesLabel, w.say(words.Devices{Of: devices}))
	}
	w.pair(&p, words.DocumentLabel, w.commas(words.Named(w.documentNumber()),
		words.InPlaceOf{Revision: max(1, w.o.Revision)}))
	w.kept(&p)
	w.pair(&p, words.MadeWithLabel, w.commas(words.AsTyped(w.o.Tool),
		words.Detail{Kind: words.RecordedDetail, Text: opened.Tool}))
	if m := r.Voltmeter(); m != nil {
		w.pair(&p, words.VoltmeterLabel, w.commas(words.Named(m.Name),
			words.Detail{Kind: words.CalibratedDetail, Text: m.Calibrated}, words.MeterUncertainty{Volt: m.Uncertainty}))
	}
	return w.section(words.VisitHeading, p, w.quiet(words.WorkNote))
}

func (w writer) extent() words.Extent {
	e := words.Extent{Detectors: len(w.a.Detectors()), OfSite: w.r.Site().Detectors(), Readings: len(w.a.Readings()),
		Checks: len(w.a.Checklist())}
	for _, d := range w.a.Detectors() {
		if d.Trials > 0 {
			e.Operated++
		}
	}
	for _, o := range w.a.Outputs() {
		if o.Output.Kind == site.Chime {
			continue
		}
		e.Outputs++
		if o.Result != record.LeftOut { // what was energised only as a load of the supply was not tried
			e.Energised++
		}
	}
	for _, l := range w.a.Readings() {
		if l.Reading != nil {
			e.Read++
		}
	}
	for _, s := range w.a.Checklist() {
		if s.Result() != "" && s.Result() != record.LeftOut {
			e.Answered++
		}
	}
	return e
}

// technician is who gave the name for what was done, "" before.
func (w writer) technician() string {
	if signed := w.signedBy(); signed != nil {
		return w.commas(words.Named(signed.Name), words.Detail{Kind: words.LicenceDetail, Text: signed.Licence})
	}
	return ""
}

// signedBy is the technician's name under the visit, nil before there is one.
func (w writer) signedBy() *record.Signed {
	for _, s := range w.r.Outcomes() {
		if signed := s.Signed(); signed != nil && signed.Role == programme.Technician && !signed.Refused {
			return signed
		}
	}
	return nil
}

func (w writer) breaks() string {
	var parts []words.Phrase
	for _, b := range w.r.Breaks() {
		from, to := w.local(b)
		parts = append(parts, words.Pause{From: from, To: to, Why: b.Why})
	}
	for _, b := range w.r.Outages() {
		from, to := w.local(b)
		parts = append(parts, words.Outage{From: from, To: to, Ear: b.Ear})
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
