package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

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
		facts, other := instead[o.Step().ID]
		if !other {
			facts = s.well(o.Step())
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
	case programme.StepPath, programme.StepCharged:
		return []any{answer(step.ID, record.Yes)}
	case programme.StepOutput:
		return []any{answer(step.ID, record.Works)}
	case programme.StepChime:
		return []any{record.Cue{Step: step.ID, Half: record.Operate}, fast,
			signal.Signal{Address: "z1", State: signal.Active}, fast, record.Ended{Step: step.ID, By: record.ByHeard},
			signal.Signal{Address: "z1", State: signal.Restored}}
	case programme.StepRestart:
		return restart(20 * time.Second)
	case programme.StepSign:
		return []any{s.signature(step)}
	}
	return []any{answer(step.ID, record.Done)}
}

func (s *story) wellRead(step programme.Step) []any {
	read := reads(step.ID, 11.2)
	if step.OfCurrent() {
		read = record.Reading{Step: step.ID, Quantity: record.CurrentReading, Value: 0.2, Unit: "A", AsTyped: "0.2 A"}
	}
	switch {
	case step.Load:
		return s.loaded(read)
	case step.OfCurrent():
		return []any{read}
	case step.OnStandby():
		return []any{time.Second, reads(step.ID, 11.8)}
	}
	return []any{reads(step.ID, 13.6)}
}

// loaded is a reading while all that an alarm energises is on.
func (s *story) loaded(read record.Reading) (facts []any) {
	for _, o := range s.record.Site().AlarmOutputs() {
		facts = append(facts, record.Energised{Output: o.Name, On: true, By: "controller"})
	}
	facts = append(facts, read)
	for _, o := range s.record.Site().AlarmOutputs() {
		facts = append(facts, record.Energised{Output: o.Name, By: "controller"})
	}
	return facts
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
		out = append(out, told{f.ID, f.Step, label(f.Subject), f.What, f.Because, f.Noted})
	}
	return out
}

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
