package record

import (
	"fmt"
	"reflect"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

const (
	kindTester = "tester"
	kindCable  = "cable"
)

// Tester is what cables are measured with from here on. Volt is the voltage, d.c., with which
// it tests insulation, 0 for not known; Share its expanded uncertainty (k = 2) as a share of
// what it reads, 0 for not stated.
type Tester struct {
	Step       string  `json:"step"`
	Name       string  `json:"name"` // kind and identifier
	Calibrated string  `json:"calibrated,omitempty"`
	Volt       float64 `json:"test_volt,omitempty"`
	Share      float64 `json:"uncertainty_share,omitempty"`
}

// CableTested is what was seen and measured of a cable before it was connected. Seen and
// Measured are as typed, Measured "" where nothing was measured; what they say stands beside
// them. What the cable is concluded to be stands nowhere: it is found again from this.
type CableTested struct {
	Step     string               `json:"step"`
	Seen     string               `json:"seen"`
	Is       checks.CableSeen     `json:"is"`
	Measured string               `json:"measured,omitempty"`
	Values   checks.CableMeasured `json:"values"`
}

// Kind names the entry.
func (Tester) Kind() string      { return kindTester }
func (CableTested) Kind() string { return kindCable }

// Tester is what cables are measured with, nil where nobody said.
func (r *Record) Tester() *Tester {
	if s := r.index[programme.IDTester]; s != nil && s.Result() != LeftOut {
		return copied(s.tester)
	}
	return nil
}

// Isolated is what was answered about cables with nothing connected to them, "" for nothing.
func (r *Record) Isolated() Result {
	if s := r.index[programme.IDIsolated]; s != nil {
		return s.Result()
	}
	return ""
}

// Cable is what was seen and measured of a cable, nil for nothing. It is not to be changed.
func (o *Outcome) Cable() *CableTested { return copied(o.cable) }

func (r *Record) tester(e journal.Entry, f Tester) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	sr.tester, sr.answer, r.latestTaken = &f, nil, sr
	r.settle(sr, e)
	return nil
}

func (r *Record) cable(e journal.Entry, f CableTested) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	sr.cable, sr.answer, r.latestTaken = &f, nil, sr
	r.settle(sr, e)
	return nil
}

// leftOutWith are the steps that were left out with a whole stage of which one is taken again:
// all of it is entered then.
func (r *Record) leftOutWith(sr *Outcome) (ids []string) {
	if sr.step.Stage != programme.StageCables || r.Isolated() != LeftOut {
		return nil
	}
	for _, o := range r.outcomes {
		if o.step.Stage == programme.StageCables && o.Result() == LeftOut {
			ids = append(ids, o.step.ID)
		}
	}
	return ids
}

func (t Tester) check() error {
	if oneline.Blank(t.Name) || dayOrNone(t.Calibrated) != nil {
		return &Refusal{Law: LawInstrument}
	}
	if !(t.Volt >= 0 && t.Volt <= 10_000) || !(t.Share >= 0 && t.Share < 1) {
		return refuse(LawValueAsTyped, fmt.Errorf("an instrument with %v V and an uncertainty of %v", t.Volt, t.Share))
	}
	return nil
}

// asTyped refuses values that are not what the technician typed.
func (f CableTested) asTyped() error {
	is, err := checks.ParseCableSeen(f.Seen)
	values := checks.CableMeasured{}
	if err == nil && f.Measured != "" {
		values, err = checks.ParseCableMeasured(f.Measured)
	}
	if err != nil || !reflect.DeepEqual(is, f.Is) || !reflect.DeepEqual(values, f.Values) {
		return refuse(LawValueAsTyped, fmt.Errorf("a cable says otherwise than %q and %q", f.Seen, f.Measured))
	}
	return nil
}
