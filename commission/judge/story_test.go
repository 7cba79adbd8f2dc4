package judge

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const honestSite = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
outputs: [{name: Sounder, kind: sounder, address: s}, {name: Chime, kind: chime, follows: [1]}]
`

// story folds facts. Time passes only where a duration stands between them.
type story struct {
	t      *testing.T
	record *record.Record
	from   time.Time
	now    time.Duration
	n      int
}

// opening is how a visit begins; what is not given is usual.
type opening struct {
	site  []string // changes of honestSite, a text for its replacement each
	visit programme.VisitKind
	keep  func(programme.Step) bool // of the programme
	at    time.Time
	east  time.Duration // of UTC
}

func (o opening) begin(t *testing.T) *story {
	t.Helper()
	text := replaced(t, honestSite, o.site...)
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	opened := record.Opened{Visit: o.visit, Document: "H-1/1", SiteName: "site.yaml", Site: text,
		UTCOffset: int(o.east.Seconds())}
	if o.visit == "" {
		opened.Visit = programme.Handover
	}
	for _, step := range programme.Of(s, list) {
		if o.keep == nil || o.keep(step) {
			opened.Programme = append(opened.Programme, step)
		}
	}
	st := &story{t: t, record: &record.Record{}, from: o.at}
	if o.at.IsZero() {
		st.from = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	}
	st.tell(opened, signal.Listening{Source: "test", UncertaintyNS: int64(50 * time.Millisecond)})
	return st
}

func begin(t *testing.T, site ...string) *story { return opening{site: site}.begin(t) }

func (s *story) tell(facts ...any) {
	s.t.Helper()
	for _, f := range facts {
		if d, ok := f.(time.Duration); ok {
			s.now += d
			continue
		}
		s.n++
		if reading, is := f.(record.Reading); is && reading.Quantity == record.VoltageReading {
			reading.Unit = "V"
			if reading.AsTyped == "" {
				reading.AsTyped = fmt.Sprint(reading.Value, " V")
			}
			f = reading
		}
		run := max(1, s.record.Runs())
		if _, resumed := f.(record.Resumed); resumed {
			run++
		}
		body, err := json.Marshal(f)
		require.NoError(s.t, err)
		require.NoError(s.t, s.record.Take(journal.Entry{N: s.n, At: s.from.Add(s.now), Run: run, Elapsed: s.now,
			Kind: f.(record.Fact).Kind(), Body: body}))
	}
}

// attempt operates and restores a detector; z answers after the delays given,
// a negative one for no answer.
func (s *story) attempt(step, z string, operated, restored time.Duration, ends ...record.End) {
	s.t.Helper()
	s.tell(attempt(step, z, operated, restored, ends...)...)
}

func attempt(step, z string, operated, restored time.Duration, ends ...record.End) (facts []any) {
	end := func(i int) record.End {
		if i < len(ends) {
			return ends[i]
		}
		return record.ByTime
	}
	half := func(h record.Half, state signal.State, delay time.Duration, by record.End) {
		facts = append(facts, record.Cue{Step: step, Half: h})
		if delay >= 0 {
			facts = append(facts, delay, signal.Signal{Address: z, State: state})
		}
		facts = append(facts, 16*time.Second, record.Ended{Step: step, By: by})
	}
	half(record.Operate, signal.Active, operated, end(0))
	if operated >= 0 {
		half(record.Restore, signal.Restored, restored, end(1))
	}
	return facts
}

// restart is a cold restart after which the first report comes, never if after is
// negative.
func restart(after time.Duration) []any {
	facts := []any{record.Cue{Step: programme.IDRestart, Half: record.Operate}}
	if after >= 0 {
		facts = append(facts, after, signal.Signal{Address: "z2", State: signal.Active})
	}
	return append(facts, 240*time.Second, record.Ended{Step: programme.IDRestart, By: record.ByTime})
}

// volts is a reading of a meter with an uncertainty of 50 mV.
func volts(step string, v float64) record.Reading {
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
	case programme.StepPath:
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
		return []any{s.signed(step)}
	}
	return []any{answer(step.ID, record.Done)}
}

func (s *story) wellRead(step programme.Step) []any {
	switch {
	case step.Load:
		return []any{record.Energised{Output: step.Output, On: true, By: "controller"}, volts(step.ID, 11.2),
			record.Energised{Output: step.Output, By: "controller"}}
	case step.OnStandby():
		return []any{time.Second, volts(step.ID, 11.8)}
	}
	return []any{volts(step.ID, 13.6)}
}

// signed is a name under the visit, the customer's with all that is listed accepted.
func (s *story) signed(step programme.Step) record.Signed {
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

// about is what the first finding about a part says, as its codes and arguments. Parts
// are named by point ("1.1", "1.1 on standby"), zone ("zone 2"), step or part.
func (s *story) about(list []Finding, about string) string {
	for _, f := range list {
		if label(f.Subject) == about {
			return string(f.Said())
		}
	}
	return ""
}

func label(s Subject) string {
	switch {
	case s.Detector != nil && s.Detector.OnStandby:
		return string(s.Detector.Point) + " on standby"
	case s.Detector != nil:
		return string(s.Detector.Point)
	case s.Zone != nil:
		return fmt.Sprint("zone ", s.Zone.Number)
	case s.Step != nil:
		return s.Step.ID
	case s.Computed != nil:
		return "computed " + s.Computed.Code()
	}
	return string(s.Part)
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

const fast = 400 * time.Millisecond
