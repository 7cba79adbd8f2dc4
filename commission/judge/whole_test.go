package judge

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// opening is how a visit begins; what is not given is usual.
type opening struct {
	site  []string // changes of honestSite, a text for its replacement each
	visit programme.VisitKind
	keep  func(programme.Step) bool // of the programme
	at    time.Time
	east  time.Duration // of UTC
}

func (o opening) begin(t testing.TB) *story {
	t.Helper()
	text := replaced(t, honestSite, o.site...)
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	opened := record.Opened{Visit: o.visit, Number: "H-1/1", SiteName: "site.yaml", Site: text,
		UTCOffset: int(o.east.Seconds())}
	if o.visit == "" {
		opened.Visit = programme.Handover
	}
	if o.visit == programme.Retest {
		opened.Follows = "2026-11-01-handover"
	}
	for _, step := range programme.Of(at, builtIn(t, programme.Handover)) {
		if o.keep == nil || o.keep(step) {
			opened.Programme = append(opened.Programme, step)
		}
	}
	s := &story{t: t, record: &record.Record{}, from: o.at}
	s.tell(opened, listening)
	return s
}

// begin is a hand-over visit at honestSite, changed.
func begin(t testing.TB, site ...string) *story { return opening{site: site}.begin(t) }

// restart is a cold restart after which the first report comes, never if after is
// negative.
func restart(after time.Duration) []any {
	facts := []any{record.Cue{Step: programme.IDRestart, Half: record.Operate}}
	if after >= 0 {
		facts = append(facts, after, signal.Signal{Address: "z2", State: signal.Active})
	}
	return append(facts, 240*time.Second, record.Ended{Step: programme.IDRestart, By: record.ByTime})
}

// reads is a reading of a meter with an uncertainty of 50 mV.
func reads(step string, v float64) record.Reading {
	return record.Reading{Step: step, Quantity: record.VoltageReading, Value: v, Uncertainty: 0.05}
}

func answer(step string, r record.Result, remark ...string) record.Answer {
	a := record.Answer{Step: step, Result: r}
	if len(remark) > 0 {
		a.Remark = remark[0]
	}
	return a
}

// take tells of every step of the programme that all was well, except of those of
// which instead tells otherwise.
func (s *story) take(instead map[string][]any) *Assessment {
	s.t.Helper()
	for _, o := range s.record.Outcomes() {
		if o.Step().Kind == programme.StepSign && len(s.record.OpenBefore(programme.StageSignOff)) > 0 {
			break // nobody is asked for a name yet
		}
		facts, other := instead[o.Step().ID]
		if !other {
			facts = s.well(o.Step())
		}
		if len(facts) > 0 {
			if _, waited := facts[0].(time.Duration); !waited && o.Step().Kind == programme.StepReading {
				s.now += s.record.ReadingDue(o.Step(), s.elapsed()) // nobody reads before
			}
		}
		s.tell(facts...)
	}
	return Assess(s.record)
}

// well is a step that showed that all is well.
func (s *story) well(step programme.Step) []any {
	switch step.Kind {
	case programme.StepDetector:
		return attempt(step.ID, s.record.Site().Zone(step.Zone).Address, fast, fast)
	case programme.StepInstrument:
		return []any{record.Instrument{Step: step.ID, Name: "meter 7", Calibrated: "2027-01-31", Uncertainty: 0.05}}
	case programme.StepReading:
		return s.wellRead(step)
	case programme.StepFault:
		return s.wellTold(step)
	case programme.StepPath, programme.StepCharged:
		return []any{answer(step.ID, record.Yes)}
	case programme.StepOutput:
		return s.wellSounded(step)
	case programme.StepChime:
		return []any{record.Cue{Step: step.ID, Half: record.Operate}, fast,
			signal.Signal{Address: "z1", State: signal.Active}, fast, record.Ended{Step: step.ID, By: record.ByHeard},
			signal.Signal{Address: "z1", State: signal.Restored}}
	case programme.StepRestart:
		return restart(20 * time.Second)
	case programme.StepSetting, programme.StepEntry, programme.StepIntrusion, programme.StepReceipt:
		return s.wellAlarmed(step)
	case programme.StepSign:
		return []any{s.signature(step)}
	}
	return []any{answer(step.ID, record.Done)}
}

// wellRead reads what a good battery, charger and system show.
func (s *story) wellRead(step programme.Step) []any {
	reading := reads(step.ID, 13.6)
	switch {
	case step.ID == programme.IDStandbyCurrent:
		reading = ampere(step.ID, 0.09)
	case step.ID == programme.IDAlarmCurrent:
		reading = ampere(step.ID, 0.4)
	case step.Load:
		reading = reads(step.ID, 12.3)
	case step.OnStandby():
		reading = reads(step.ID, 12.7)
	}
	if step.Load {
		return s.underLoad(reading)
	}
	return []any{s.record.ReadingDue(step, s.elapsed()), reading}
}

// underLoad is a reading while all that an alarm energises is on.
func (s *story) underLoad(r record.Reading) []any {
	var facts, off []any
	for _, o := range s.record.Site().AlarmOutputs() {
		facts = append(facts, record.Energised{Output: o.Name, On: true, By: record.SwitchedByHand})
		off = append(off, record.Energised{Output: o.Name, By: record.SwitchedByHand})
	}
	return append(append(facts, r), off...)
}

// wellSounded is an output that works: of a sounder its level, and when it stopped.
func (s *story) wellSounded(step programme.Step) []any {
	facts := []any{record.Energised{Output: step.Output, On: true, By: record.SwitchedByController}}
	if s.record.Site().Output(step.Output).Kind == site.Sounder {
		facts = append(facts, loud(step.ID, 110, 1, 45, 1), 15*time.Minute, cutOff(step.ID, "15 min", 900))
	}
	return append(facts, record.Energised{Output: step.Output, By: record.SwitchedByController},
		answer(step.ID, record.Works))
}

func loud(step string, dB, metre, ambient float64, class int) record.Reading {
	return record.Reading{Step: step, Quantity: record.LevelReading, Value: dB, Unit: "dB", AsTyped: fmt.Sprint(dB, " dB"),
		Distance: metre, DistanceUncertainty: 0.05, Ambient: ambient, MeterClass: class, Weighting: "A"}
}

func cutOff(step, typed string, second float64) record.Reading {
	return record.Reading{Step: step, Quantity: record.CutOffReading, Value: second, Unit: "s", AsTyped: typed}
}

func ampere(step string, a float64) record.Reading {
	return record.Reading{Step: step, Quantity: record.CurrentReading, Value: a}
}

// signature is a name under the visit, the customer's with all that is listed accepted.
func (s *story) signature(step programme.Step) record.Signed {
	name := record.Signed{Step: step.ID, Role: step.Role, Name: "Ignace"}
	if step.Role != programme.Customer {
		return name
	}
	name.Name = "Odile"
	a := Assess(s.record)
	for _, f := range append(a.Findings(), a.Limitations()...) {
		name.Accepted = append(name.Accepted, record.Acceptance{ID: f.ID, Said: f.Said(), Shown: "in any words"})
	}
	return name
}

// told is a finding with a short name of what it concerns.
type told struct {
	ID, Step, About string
	What            Statement
	Because         string
	Noted           []string
}

func allTold(list []Finding) (out []told) {
	for _, f := range list {
		what := f.What
		if c, is := what.(ComputedSo); is {
			what = rowSo{c.Row.Code(), c.Ruling, c.Danger}
		}
		out = append(out, told{f.ID, f.Step, label(f.Subject), what, f.Because, f.Noted})
	}
	return out
}

// rowSo is a computation that fails or could not decide, without its numbers.
type rowSo struct {
	Row    string
	Ruling checks.Ruling
	Danger bool
}

// Code names it.
func (r rowSo) Code() string { return "computed/" + r.Row }

// computedRow is the only row of a kind.
func (s *story) computedRow(kind string) Computed {
	s.t.Helper()
	var found []Computed
	for _, c := range Assess(s.record).Computed() {
		if c.Row.Code() == kind {
			found = append(found, c)
		}
	}
	require.Len(s.t, found, 1)
	return found[0]
}
