package judge

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Judged is an assessment as plain values in no language: what follows from a record by
// these Rules, and what another program that has them must arrive at. A change of what
// stands in it is a change of Rules, too. Numbers have nine significant digits, so that
// machines that compute the last of sixteen otherwise write the same bytes.
type Judged struct {
	Result      Overall                `json:"result"`
	Counts      map[record.Verdict]int `json:"counts"` // of the walk-test's detectors
	Detectors   []JudgedDetector       `json:"detectors"`
	OnStandby   []JudgedDetector       `json:"on_standby"`
	Times       *JudgedTimes           `json:"times,omitempty"` // nil for none
	Cues        Cues                   `json:"cues"`
	Operations  Operations             `json:"operations"`
	Proof       []JudgedProof          `json:"proof"` // of detectors that were operated more than once
	Readings    []JudgedReading        `json:"readings"`
	Faults      []JudgedFault          `json:"faults"`
	Outputs     []JudgedOutput         `json:"outputs"`
	Restart     *JudgedRestart         `json:"restart,omitempty"`
	Alarm       []JudgedAlarm          `json:"alarm"`
	Checklist   []JudgedCheck          `json:"checklist"`
	Computed    []JudgedRow            `json:"computed"`
	Cables      []JudgedCable          `json:"cables,omitempty"` // of an older system
	Findings    []JudgedFinding        `json:"findings"`
	Limitations []JudgedFinding        `json:"limitations"`
	Notes       []JudgedFinding        `json:"notes"`
	NextDue     string                 `json:"next_due,omitempty"` // year-month-day
	Open        int                    `json:"open_steps"`
	Steps       int                    `json:"steps"`
	Cautions    []Caution              `json:"cautions"`
	Since       *Since                 `json:"since,omitempty"`       // nil where no earlier visit was taken in
	Outstanding []JudgedOutstanding    `json:"outstanding,omitempty"` // of earlier visits
}

// JudgedDetector is what was shown of one detector.
type JudgedDetector struct {
	Step      string           `json:"step"`
	Point     site.Point       `json:"point"`
	Verdict   record.Verdict   `json:"verdict"`
	Trials    int              `json:"trials"`               // complete ones
	Before    []record.Verdict `json:"before,omitempty"`     // of those before the last
	BrokenOff int              `json:"broken_off,omitempty"` // further ones
	Struck    []JudgedStruck   `json:"struck,omitempty"`     // that count no more
	Mended    []string         `json:"mended,omitempty"`     // what was done about one that was missed, as typed
	Operated  record.Judgement `json:"operated"`
	Restored  record.Judgement `json:"restored"`
}

// JudgedStruck is an attempt that counts no more, counted from 1.
type JudgedStruck struct {
	Trial   int            `json:"trial"`
	Verdict record.Verdict `json:"verdict"` // what it had shown
	Reason  string         `json:"reason"`  // as typed
}

// JudgedTimes sums up the response times.
type JudgedTimes struct {
	N           int      `json:"n"`
	Median      float64  `json:"median_second"`
	P90         *float64 `json:"p90_second,omitempty"` // from 20 times on
	P95         *float64 `json:"p95_second,omitempty"` // from 20 times on
	Max         float64  `json:"max_second"`
	Mean        float64  `json:"mean_second"`
	Deviation   *float64 `json:"standard_deviation_second,omitempty"`
	Lag1        *float64 `json:"autocorrelation,omitempty"`
	Uncertainty float64  `json:"uncertainty_second"`
	Limit       float64  `json:"limit_second"`
}

// JudgedProof is what the operations of one detector prove of the probability that it
// reports.
type JudgedProof struct {
	Point      site.Point `json:"point"`
	Operations int        `json:"operations"`
	Reported   int        `json:"reported"`
	LowerBound float64    `json:"lower_bound"`
	Confidence float64    `json:"confidence"`
}

// JudgedReading is a voltage and what it was held against.
type JudgedReading struct {
	Step        string        `json:"step"`
	Volt        *float64      `json:"volt,omitempty"` // absent if it was not taken
	Uncertainty float64       `json:"uncertainty_volt,omitempty"`
	Limit       Range         `json:"limit_volt"`
	Verdict     checks.Ruling `json:"verdict,omitempty"` // absent if nothing was decided
	Probability float64       `json:"probability,omitempty"`
	Void        Misplaced     `json:"void,omitempty"`
	After       time.Duration `json:"after_nanosecond,omitempty"`
}

// JudgedOutput is what was shown of an output.
type JudgedOutput struct {
	Step   string        `json:"step"`
	Result record.Result `json:"result"`
	Heard  time.Duration `json:"heard_nanosecond,omitempty"`
	Report time.Duration `json:"report_nanosecond,omitempty"`
	Trials int           `json:"trials,omitempty"`
	Missed int           `json:"missed,omitempty"`
}

// JudgedRestart is the cold restart.
type JudgedRestart struct {
	Tested  bool           `json:"tested"`
	Took    time.Duration  `json:"took_nanosecond,omitempty"`
	Verdict record.Verdict `json:"verdict"`
	Limit   site.Limit     `json:"limit_second"`
}

// JudgedCheck is an item of a checklist.
type JudgedCheck struct {
	Step   string        `json:"step"`
	Result record.Result `json:"result,omitempty"` // absent while it is open
}

// JudgedRow is a computation. With are its inputs and results; what it lacks stands
// there where it could not be computed.
type JudgedRow struct {
	Code    string          `json:"code"`
	Step    string          `json:"step,omitempty"`
	Verdict checks.Ruling   `json:"verdict,omitempty"`
	With    json.RawMessage `json:"with,omitempty"`
	Lacks   []JudgedLack    `json:"lacks,omitempty"`
}

// JudgedLack is something without which nothing can be computed.
type JudgedLack struct {
	What LackCode `json:"what"`
	Of   []string `json:"of,omitempty"` // parts, as typed
}

// JudgedFinding is a defect or a limitation.
type JudgedFinding struct {
	ID       string          `json:"id"`
	Severity Severity        `json:"severity"`
	Remedy   Remedy          `json:"remedy"`
	Step     string          `json:"step,omitempty"`
	Says     json.RawMessage `json:"says"` // Finding.Said
}

// Judged is the assessment as plain values.
func (a *Assessment) Judged() Judged {
	j := Judged{Result: a.result, Counts: a.Counts(), Times: a.judgedTimes(), Cues: a.cues, Operations: a.operations,
		Proof:     a.judgedProofs(),
		Detectors: judgedDetectors(a.detectors), OnStandby: judgedDetectors(a.onStandby),
		Readings: []JudgedReading{}, Faults: a.judgedFaults(), Outputs: []JudgedOutput{}, Checklist: []JudgedCheck{},
		Computed: []JudgedRow{}, Alarm: a.judgedAlarm(),
		Findings: judgedFindings(a.findings), Limitations: judgedFindings(a.limitations),
		Notes: judgedFindings(a.notes), Open: a.open, Steps: a.all, Cautions: a.Cautions(),
		Since:       a.since,
		Outstanding: a.judgedOutstanding()}
	if n := a.Next(); !n.Due.IsZero() {
		j.NextDue = n.Due.Format(time.DateOnly)
	}
	for _, l := range a.readings {
		j.Readings = append(j.Readings, judgedReading(l))
	}
	for _, o := range a.outputs {
		step := o.Outcome.Step().ID
		j.Outputs = append(j.Outputs, JudgedOutput{step, o.Result, o.Heard, o.Report, o.Trials, o.Missed})
	}
	if l := a.restart; l != nil {
		j.Restart = &JudgedRestart{l.Tested, l.Took, l.Verdict, l.Limit}
	}
	for _, s := range a.checklist {
		j.Checklist = append(j.Checklist, JudgedCheck{s.Step().ID, s.Result()})
	}
	j.Cables = judgedCables(a.Cables())
	for _, c := range a.computed {
		j.Computed = append(j.Computed, judgedRow(c))
	}
	return j
}

func judgedDetectors(lines []DetectorLine) []JudgedDetector {
	out := []JudgedDetector{}
	for _, l := range lines {
		d := JudgedDetector{Step: l.Outcome.Step().ID, Point: l.Name.Point, Verdict: l.Verdict, Trials: l.Trials,
			BrokenOff: l.Outcome.BrokenOff(), Operated: l.Operated, Restored: l.Restored}
		if tried := l.Outcome.Tried(); len(tried) > 1 {
			for _, t := range tried[:len(tried)-1] {
				d.Before = append(d.Before, t.Verdict())
			}
		}
		for _, n := range slices.Sorted(maps.Keys(l.Outcome.Struck())) {
			struck := l.Outcome.Struck()[n]
			d.Struck = append(d.Struck, JudgedStruck{n, struck.AsTaken().Verdict(), struck.Struck()})
		}
		d.Mended = l.Outcome.Mended()
		d.Operated.Probability = settled(l.Operated.Probability)
		d.Restored.Probability = settled(l.Restored.Probability)
		out = append(out, d)
	}
	return out
}

func (a *Assessment) judgedTimes() *JudgedTimes {
	s := a.summary
	if s.N == 0 {
		return nil
	}
	out := &JudgedTimes{N: s.N, Median: settled(s.P50), Max: settled(s.Max), Mean: settled(s.Mean),
		Deviation: ifNumber(s.StandardDeviation), Lag1: ifNumber(s.Lag1),
		Uncertainty: settled(s.UncertaintySecond), Limit: s.Limit}
	if s.Percentiles() {
		out.P90, out.P95 = ifNumber(s.P90), ifNumber(s.P95)
	}
	return out
}

func (a *Assessment) judgedProofs() []JudgedProof {
	out := []JudgedProof{}
	for _, p := range a.proofs {
		out = append(out, JudgedProof{p.Detector.Point, p.Operations, p.Reported, settled(p.LowerBound), p.Confidence})
	}
	return out
}

func judgedReading(l ReadingLine) JudgedReading {
	out := JudgedReading{Step: l.Outcome.Step().ID, Limit: l.Limit, Uncertainty: settled(l.Uncertainty),
		Void: l.Void, After: l.After}
	if l.Reading != nil {
		volt := settled(l.Reading.Value)
		out.Volt = &volt
	}
	if l.Taken {
		out.Verdict, out.Probability = l.Decision.Ruling, settled(l.Decision.Probability)
	}
	return out
}

func judgedRow(c Computed) JudgedRow {
	out := JudgedRow{Code: c.Row.Code(), Step: c.Step, Verdict: c.Ruling}
	for _, l := range c.Missing {
		out.Lacks = append(out.Lacks, JudgedLack{l.What, l.Of})
	}
	if with, err := encode(c.Row); err == nil && (len(c.Missing) == 0 || c.Ruling != "") { // an infinite one has no digits
		out.With = settledJSON(with)
	}
	return out
}

func judgedFindings(all []Finding) []JudgedFinding {
	out := []JudgedFinding{}
	for _, f := range all {
		out = append(out, JudgedFinding{f.ID, f.Severity(), f.Remedy(), f.Step, f.Said()})
	}
	return out
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// encoded is a plain value as JSON.
func encoded(v any) []byte {
	out, err := encode(v)
	if err != nil {
		panic(err) // plain values; an infinite one would be a fault of ours
	}
	return out
}

// digits is how many a number keeps: significant ones, and decimals.
const digits = 9

// settled is a number without the digits in which machines may differ: some compute
// x·y + z with one rounding less.
func settled(x float64) float64 {
	if math.Abs(x) < 1 {
		x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'f', digits, 64), 64) // a number it has just written
	}
	out, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	if out == 0 {
		return 0 // not −0
	}
	return out
}

func ifNumber(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	x = settled(x)
	return &x
}

// settledJSON is JSON whose broken numbers are settled. Whole ones, as nanoseconds are,
// stay as they are.
func settledJSON(raw []byte) json.RawMessage {
	out := make([]byte, 0, len(raw))
	for i := 0; i < len(raw); {
		n := tokenAt(raw[i:])
		token := raw[i : i+n]
		if raw[i] != '"' && bytes.ContainsAny(token, ".eE") {
			if x, err := strconv.ParseFloat(string(token), 64); err == nil {
				token = encoded(settled(x))
			}
		}
		out = append(out, token...)
		i += n
	}
	return out
}

// tokenAt is how long the string, the number or other mark is that JSON begins with.
func tokenAt(raw []byte) int {
	n := 1
	switch {
	case raw[0] == '"':
		for n < len(raw) && raw[n] != '"' {
			if raw[n] == '\\' {
				n++
			}
			n++
		}
		return min(n+1, len(raw))
	case raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9':
		for n < len(raw) && strings.IndexByte("0123456789.eE+-", raw[n]) >= 0 {
			n++
		}
	}
	return n
}
