package judge

import (
	"math"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// Doubt is why something is undecided that is not too near its limit to tell.
type Doubt string

// The reasons. What is usual is ours: nothing fails by it, whatever was read.
const (
	BeyondUsual Doubt = "beyond usual"  // beyond a limit that is only usual
	OnOurs      Doubt = "rests on ours" // a value in it is only usual
	AnswerLacks Doubt = "answer lacks"  // the site file does not say what would decide it
)

// Doubt is why the row is undecided; "" where it is too near to tell, or decided.
func (c Computed) Doubt() Doubt {
	if c.Ruling != checks.Undecided {
		return ""
	}
	switch r := c.Row.(type) {
	case InternalRow:
		if r.Beyond {
			return BeyondUsual
		}
	case AgeRow:
		if !r.ByMaker && !r.BeforeFitted() && r.Age > r.Life {
			return BeyondUsual
		}
	}
	switch {
	case len(c.Assumed) > 0:
		return OnOurs
	case len(c.Missing) > 0 && !c.Missing[0].FromVisit():
		return AnswerLacks
	}
	return ""
}

// Doubt is why the voltage is undecided; "" where it is too near to tell, or decided.
func (l ReadingLine) Doubt() Doubt {
	if l.BeyondUsual {
		return BeyondUsual
	}
	return ""
}

// DoubtOf is why a detector that is late is not said to have failed: its limit is only ours.
func (a *Assessment) DoubtOf(d DetectorLine) Doubt {
	if d.Verdict == record.Late && !d.limit(a.record.Site()).Declared() {
		return BeyondUsual
	}
	return ""
}

// lacksForTrial are what the site file does not say and would decide a trial on battery.
func lacksForTrial(p checks.Pack, row SagRow, minutes, ampereHour float64, unknown []string) (lacks []Lack) {
	ruling, err := p.JudgeOnBattery(row.To, row.Uncertainty, minutes, 0, math.MaxFloat32)
	if err != nil || ruling == checks.Undecided {
		return nil // no answer would
	}
	if ampereHour == 0 {
		lacks = append(lacks, lack(LackCapacity)...)
	}
	if row.Ampere == 0 {
		lacks = append(lacks, lack(LackCurrent, unknown...)...)
	}
	return lacks
}
