package certificate

import (
	"reflect"
	"slices"

	"loopwitness/commission/judge"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

func (w writer) response() Section {
	var blocks []Block
	if w.a.Summary().N > 0 {
		blocks = append(blocks, w.responseCharts(), w.prose(words.ResponseTimes{Of: w.a.Summary()}))
	}
	for i, l := range sourcesOnce(w.r.Sources()) {
		again := i > 0 && l.Addresses != nil && !l.ByHand
		blocks = append(blocks, w.quiet(words.HowTimed{By: l, Zones: w.zonesOf(l), Again: again}))
	}
	if zones := w.heardByEither(); len(zones) > 0 {
		blocks = append(blocks, w.quiet(words.HeardByEither{Zones: zones}))
	}
	if c := w.a.Cues(); c.ByPhone() || c.NotTimed > 0 {
		blocks = append(blocks, w.quiet(words.CuesGiven{Of: c}))
	}
	return w.section(words.ResponseHeading, blocks...)
}

// sourcesOnce are all ways in which signals were received, those that were listened to at once one by one.
func sourcesOnce(all []signal.Listening) []signal.Listening {
	var each, out []signal.Listening
	for _, l := range all {
		if len(l.Ears) == 0 {
			each = append(each, l)
		}
		each = append(each, l.Ears...)
	}
	for _, l := range each {
		if !slices.ContainsFunc(out, func(o signal.Listening) bool { return reflect.DeepEqual(o, l) }) {
			out = append(out, l)
		}
	}
	return out
}

// zonesOf are the zones that one of several ways can report; none where that is all, or where it was alone.
func (w writer) zonesOf(l signal.Listening) (zones []int) {
	all := w.r.Site().Zones
	for i := range all {
		if slices.Contains(l.Addresses, all[i].Address) {
			zones = append(zones, all[i].Number)
		}
	}
	slices.Sort(zones)
	if len(zones) == len(all) {
		return nil
	}
	return zones
}

// heardByEither are the zones that more than one of several ways at once can report.
func (w writer) heardByEither() (zones []int) {
	for _, z := range w.r.Site().Zones {
		if slices.ContainsFunc(w.r.Sources(), func(l signal.Listening) bool {
			return len(l.Ears) > 0 && len(l.EarsOf(z.Address)) > 1
		}) {
			zones = append(zones, z.Number)
		}
	}
	slices.Sort(zones)
	return zones
}

// numbers is the annex for who wants to know what statistics say.
func (w writer) numbers() Section {
	var blocks []Block
	if w.a.Summary().N > 1 {
		blocks = append(blocks, w.prose(words.TimesInFull{Of: w.a.Summary()}))
	}
	proofs := slices.DeleteFunc(w.a.Proofs(), func(p judge.Proof) bool { return !p.Useful() })
	if len(proofs) > 0 {
		t := Table{Columns: []Column{w.column(words.PointColumn, 14), w.column(words.DetectorColumn, 91),
			w.column(words.OperatedColumn, 25), w.column(words.ReportedColumn, 25), w.column(words.BoundColumn, 25)}}
		for _, p := range proofs {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: string(p.Detector.Point), Bold: true}, {Text: p.Detector.Name},
				{Text: w.count(p.Operations)}, {Text: w.count(p.Reported)}, {Text: w.say(words.Share(p.LowerBound))}}})
		}
		blocks = append(blocks, t, w.quiet(words.BoundsNote{Confidence: proofs[0].Confidence}))
	}
	if len(w.a.Detectors())+len(w.a.Readings()) > 0 {
		blocks = append(blocks, w.quiet(words.GuardNote))
	}
	if touches := w.touches(); len(touches.Rows) > 0 {
		lead := w.quiet(words.TouchesNote)
		lead.Leads = true
		blocks = append(blocks, lead, touches)
	}
	return w.section(words.NumbersHeading, blocks...)
}

// touches are those that times were taken from, with the bounds of the phone's clock.
func (w writer) touches() Table {
	t := Table{Columns: []Column{w.column(words.PointColumn, 14), w.column(words.DetectorColumn, 54),
		w.column(words.CueColumn, 18), w.column(words.InstantColumn, 26), w.measures(words.OffsetColumn, words.Second, 40),
		w.measures(words.HalfColumn, words.Second, 28)}}
	for _, d := range slices.Concat(w.a.Detectors(), w.a.OnStandby()) {
		for _, a := range d.Outcome.Tried() {
			tap := a.Operate.Tap()
			if tap == nil || a.Operate.Judge().NotTimed != "" {
				continue
			}
			_, half := tap.At()
			bounds := words.Between{From: float64(tap.EarliestNS) / 1e9, To: float64(tap.LatestNS) / 1e9, Decimals: 3}
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: string(d.Name.Point), Bold: true}, {Text: w.detector(d)},
				{Text: w.say(tap.By)}, {Text: w.say(words.TouchedAt{At: w.r.Local(a.Operate.At())})}, {Text: w.say(bounds)},
				{Text: w.number(half.Seconds(), 3)}}})
		}
	}
	return t
}
