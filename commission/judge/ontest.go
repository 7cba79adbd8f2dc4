package judge

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// StillOnTest is a system that was put on test at the receiving centre, of which the visit does not say that it was
// taken off: nobody may respond to its alarms.
type StillOnTest struct{}

// Code names it.
func (StillOnTest) Code() string { return "still-on-test" }

// leftOnTest tells whether the visit put the system on test and does not say that it was taken off. It is the line
// about the latter, nil for none.
func (a *Assessment) leftOnTest() (line *record.Outcome, left bool) {
	put := false
	for _, s := range a.checklist {
		switch s.Step().Item {
		case programme.OnTestItem, programme.OnTestFromItem:
			put = put || s.Result() == record.Done
		case programme.OffTestItem:
			line = s
		}
	}
	open := line == nil || !line.Concluded() || line.Result() == record.LeftOut
	return line, put && open
}

// findOnTest lists it instead of the line that was not answered: one fact, one remedy.
func (a *Assessment) findOnTest() {
	line, left := a.leftOnTest()
	if !left {
		return
	}
	f := Finding{Subject: Subject{Part: PartCentre}, What: StillOnTest{}}
	if line != nil {
		f.Step, f.Because = line.Step().ID, line.Remark()
	}
	a.limit(f)
}
