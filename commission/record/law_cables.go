package record

import (
	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

// LawIsolated: no cable is measured before somebody said that nothing is connected to it, and
// with what it is measured.
const LawIsolated Law = "isolated"

var cableLaws = []rule{{law: LawIsolated, consequence: Refused, entry: on((*Record).measuredLive)}}

func (r *Record) measuredLive(f CableTested) bool {
	return f.Measured != "" && (r.Isolated() != Done || r.Tester() == nil)
}

func (r *Record) otherTester(e journal.Entry, f Tester) bool {
	is := func(in checks.Dimension, want float64) func(string) bool {
		return func(text string) bool {
			q, _ := in.Parse(text) // nothing stands for not stated
			return q.SI == want
		}
	}
	text := func(want string) func(string) bool { return func(text string) bool { return text == want } }
	return r.otherPart(e, f.Step, "", text(f.Name)) || r.otherPart(e, f.Step, "/calibrated", text(f.Calibrated)) ||
		r.otherPart(e, f.Step, "/volt", is(checks.Voltage, f.Volt)) ||
		r.otherPart(e, f.Step, "/uncertainty", is(checks.Ratio, f.Share))
}

func (r *Record) otherCable(e journal.Entry, f CableTested) bool {
	measured := func(text string) bool { return text == f.Measured || text == notMeasured && f.Measured == "" }
	return r.otherPart(e, f.Step, "", func(text string) bool { return text == f.Seen }) ||
		r.otherPart(e, f.Step, "/measured", measured)
}

// notMeasured is what is answered where nothing was measured.
const notMeasured = "none"

// LeftWith is the reason for which a step is left out with its whole stage; ok is false where
// it is not.
func (r *Record) LeftWith(s programme.Step) (reason string, ok bool) {
	if s.Stage != programme.StageCables || s.ID == programme.IDIsolated || r.Isolated() != LeftOut {
		return "", false
	}
	return r.index[programme.IDIsolated].Remark(), true
}
