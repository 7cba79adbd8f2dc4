package judge

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const declaredSounder = `  - name: Sounder
    kind: sounder
    address: s
    current: 300 mA
    level: 100 dB
    level_at: 1 m
    frequency: 3 kHz
    cut_off: 15 min
`

// honestSite is a site where nothing is missing and everything fits: all that a visit shows
// well there is satisfactory without a limitation.
const honestSite = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: none}
maintenance: {interval: 1 year}
controller: {description: controller, current: 100 mA, detector_output: 1 A, alarm_output: 1 A}
supply:
  adapter: {rating: 2 A, voltage: 13.65 V}
  charger: {voltage: 13.65 V, current: 700 mA}
  recharge: {within: 72 h, to: 80 %}
  battery:
    {chemistry: lead-acid, cells: 6, capacity: 7 Ah, hour_rating: 20 h, exponent: 1.15, fitted: 2026-11-01, resistance: 1R5}
  standby: {for: 12 h, alarm_for: 15 min, ageing: 1.25}
  temperature: 20 C
  loads: []
  hold: 10 min
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
outputs:
` + declaredSounder + `  - {name: Chime, kind: chime, current: 30 mA, follows: [1]}
setting: {exit_time: 30 s, entry_time: 30 s, sounder_within: 5 s}
limits:
  response: 2 s
  listen_for: 15 s
  restore: {door: 5 s, window: 5 s, motion: 30 s}
  steady: 1 s
  standby_lower: 11.5 V
  alarm_load_lower: 10.5 V
  cold_restart: 120 s
  margin: 10 dB
`

// story tells facts by hand, as a visit appends them, each in the moment of the one before
// unless a duration stands between them. A story that has a journal is written, too; its
// times are invented, so that the same story always makes the same bytes.
type story struct {
	t       testing.TB
	record  *record.Record
	from    time.Time // the usual one if zero
	now     time.Duration
	began   time.Duration // of the run
	n       int
	journal string // path, "" for none
	writer  *journal.Writer
}

func builtIn(t testing.TB, kind programme.VisitKind) programme.Checklist {
	t.Helper()
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(kind))
	require.NoError(t, err)
	return list
}

// written is a story that goes into a journal, too. The method bytes ends it.
func written(t testing.TB) *story {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := journal.Create(path)
	require.NoError(t, err)
	return &story{t: t, record: &record.Record{}, journal: path, writer: w}
}

// open tells of a visit that takes all that the site has.
func (s *story) open(text string, kind programme.VisitKind, list programme.Checklist) {
	s.t.Helper()
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(s.t, err)
	s.opens(kind, text, programme.Of(at, list))
}

// opens tells of a visit with a programme.
func (s *story) opens(kind programme.VisitKind, text string, steps []programme.Step) {
	s.t.Helper()
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(s.t, err)
	opened := record.Opened{Visit: kind, Number: at.Reference + "/1", SiteName: "site.yaml", Site: text, Programme: steps}
	if kind == programme.Retest {
		opened.Follows = "2026-11-01-handover"
	}
	s.tell(opened)
}

// walking is how long it takes to stand ready at a detector.
const walking = time.Second

func (s *story) tell(facts ...any) {
	s.t.Helper()
	for _, f := range facts {
		if d, ok := f.(time.Duration); ok {
			s.now += d
			continue
		}
		if reading, is := f.(record.Reading); is {
			f = s.measured(asTyped(reading))
			if output := s.silent(reading); output != "" {
				s.tell(switched(output, true), f, switched(output, false))
				continue
			}
		}
		if a, is := f.(record.Answer); is {
			f = s.valued(a)
		}
		s.n++
		if cue, is := f.(record.Cue); is && cue.Half == record.Operate {
			s.now += walking
		}
		require.NoError(s.t, s.record.Take(s.entry(f.(record.Fact))))
	}
}

// valued is an answer with what has to be typed beside its line.
func (s *story) valued(a record.Answer) record.Answer {
	if o := s.record.Find(a.Step); o != nil && a.Result == record.Done && a.Value == "" && !o.Step().Optional {
		a.Value = map[programme.ValueKind]string{programme.TextValue: "as told", programme.TimeValue: "14:05",
			programme.DateValue: "2027-03-01"}[o.Step().Value]
	}
	return a
}

// silent is the output that a level or a current is measured of, if it is off: it is
// energised for that.
func (s *story) silent(r record.Reading) string {
	o := s.record.Find(r.Step)
	measured := r.Quantity == record.LevelReading || r.Quantity == record.CurrentReading
	if o == nil || o.Step().Kind != programme.StepOutput || !measured || s.record.IsOn(o.Step().Output) {
		return ""
	}
	return o.Step().Output
}

// asTyped is a voltage, a current or a level with what was typed for it.
func asTyped(r record.Reading) record.Reading {
	if r.Quantity == record.LevelReading {
		r.AsTyped = levelTyped(r)
	}
	unit, is := map[record.Quantity]string{record.VoltageReading: "V", record.CurrentReading: "A"}[r.Quantity]
	if !is {
		return r
	}
	r.Unit = unit
	if r.AsTyped == "" {
		r.AsTyped = fmt.Sprint(r.Value, " ", unit)
	}
	return r
}

// measured is a voltage with the voltmeter that was named.
func (s *story) measured(r record.Reading) record.Reading {
	if s.record.Site() == nil || r.Quantity != record.VoltageReading || r.Sampled {
		return r
	}
	if m := s.record.Voltmeter(); m != nil {
		r.Instrument = m.Name
	}
	return r
}

// levelTyped is a level in the form in which it is typed.
func levelTyped(r record.Reading) string {
	digits, _, _ := strings.Cut(r.AsTyped, " dB") // they tell how well it is known
	text := fmt.Sprintf("%s dB%s at %g m", digits, r.Weighting, r.Distance)
	if r.DistanceUncertainty != 0 {
		text += fmt.Sprintf(" ± %g m", r.DistanceUncertainty)
	}
	if r.Ambient != 0 {
		text += fmt.Sprintf(" over %g dB", r.Ambient)
	}
	if r.MeterClass != 0 {
		text += fmt.Sprintf(" class %d", r.MeterClass)
	}
	return text
}

// clock is the time of the next fact.
func (s *story) clock() time.Time {
	from := s.from
	if from.IsZero() {
		from = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	}
	return from.Add(s.now)
}

// elapsed is the time of the next fact on the clock of its run.
func (s *story) elapsed() time.Duration { return s.now - s.began }

// entry is a fact as it stands in a journal.
func (s *story) entry(f record.Fact) journal.Entry {
	s.t.Helper()
	at := s.clock()
	_, resumed := f.(record.Resumed)
	if s.writer != nil {
		var err error
		if resumed {
			require.NoError(s.t, s.writer.Close())
			s.writer, _, _, err = journal.Open(s.journal)
			require.NoError(s.t, err)
			s.began = s.now
		}
		e, err := s.writer.Append(at, f.Kind(), f)
		require.NoError(s.t, err)
		return e
	}
	run := max(1, s.record.Runs())
	if resumed {
		run, s.began = run+1, s.now
	}
	body, err := json.Marshal(f)
	require.NoError(s.t, err)
	return journal.Entry{N: s.n, At: at, Run: run, Elapsed: s.elapsed(), Kind: f.Kind(), Body: body}
}

// bytes is the journal, which is closed.
func (s *story) bytes() []byte {
	s.t.Helper()
	require.NoError(s.t, s.writer.Close())
	c, err := journal.ReadFile(s.journal)
	require.NoError(s.t, err)
	return c.Whole
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

// codes are those of all findings about a part.
func (s *story) codes(list []Finding, about string) (all []string) {
	for _, f := range list {
		if label(f.Subject) == about {
			all = append(all, f.Code())
		}
	}
	return all
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

const fast = 400 * time.Millisecond
