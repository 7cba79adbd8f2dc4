package judge

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What a visit shows at which all is well.
func TestAllIsWell(t *testing.T) {
	s := begin(t)
	a := s.take(nil)
	assert.Equal(t, map[record.Verdict]int{record.Proved: 2}, a.Counts())
	assert.Equal(t, []string{"1.1", "2.1"}, points(a.Detectors()))
	assert.Equal(t, []string{"1.1"}, points(a.OnStandby()))
	assert.Len(t, a.Checklist(), 15+15)
	assert.Equal(t, s.record, a.Record())
	assert.Equal(t, []Caution{CautionMains, CautionLadders, CautionLeadAcid, CautionSounder}, a.Cautions())
	door := a.Detectors()[0]
	assert.Equal(t, []record.Verdict{record.Proved, record.Proved, record.Proved},
		[]record.Verdict{door.Verdict, door.Operated.Verdict, door.Restored.Verdict})

	restart := a.Restart()
	limit := site.Limit{SI: 120, By: site.SiteFile}
	assert.Equal(t, RestartLine{restart.Outcome, true, 20 * time.Second, record.Proved, limit}, *restart)
	sounder, chime := a.Outputs()[0], a.Outputs()[1]
	assert.Equal(t, OutputLine{Outcome: sounder.Outcome, Output: sounder.Output, Result: record.Works}, sounder)
	assert.Equal(t, OutputLine{Outcome: chime.Outcome, Output: chime.Output, Result: record.Works,
		Heard: 2 * fast, Report: fast, Trials: 1}, chime)
}

func points(lines []DetectorLine) (out []string) {
	for _, l := range lines {
		out = append(out, string(l.Name.Point))
	}
	return out
}

// Nobody can be proved by a chime that was skipped, and the last trial is not a miss
// before the last.
func TestChimeTrialsAreCounted(t *testing.T) {
	const chime = "outputs/Chime/zone-1"
	try := func(by record.End) []any {
		return []any{record.Cue{Step: chime, Half: record.Operate}, fast, record.Ended{Step: chime, By: by}}
	}
	for _, tc := range []struct {
		ends           []record.End
		result         record.Result
		trials, missed int
	}{
		{nil, record.LeftOut, 0, 0},
		{[]record.End{record.BySkip}, record.LeftOut, 0, 0},
		{[]record.End{record.ByHeard}, record.Works, 1, 0},
		{[]record.End{record.BySilent, record.ByAgain, record.ByHeard}, record.Works, 2, 1},
		{[]record.End{record.BySilent, record.ByTime}, record.Fails, 2, 1},
	} {
		s := begin(t)
		for _, by := range tc.ends {
			s.tell(try(by)...)
		}
		line := Assess(s.record).Outputs()[1]
		assert.Equal(t, []any{tc.result, tc.trials, tc.missed}, []any{line.Result, line.Trials, line.Missed}, tc.ends)
		assert.Zero(t, line.Report, "the zone reported nothing")
	}
}

// 0.8 s and 0.4 s: mean 0.6 s, standard deviation 0.4/√2 s; a detector that was silent has no
// time. Three operations of three, with that on standby.
func TestTimesAndProof(t *testing.T) {
	const one, two = "walk/1.1", "walk/2.1"
	a := begin(t).take(map[string][]any{one: attempt(one, "z1", 2*fast, fast)})
	assert.Equal(t, []float64{0.4, 0.8}, a.Responses())
	sum := a.Summary()
	assert.Equal(t, 2, sum.N)
	assert.InDeltaSlice(t, []float64{0.6, 0.4 / 1.41421356, 0.8, 0.05, 2},
		[]float64{sum.Mean, sum.StandardDeviation, sum.Max, sum.UncertaintySecond, sum.Limit}, 1e-8)
	assert.Equal(t, Operations{Operated: 3, Reported: 3, Repeated: 1, OnStandby: 1}, a.Operations())

	a = begin(t).take(map[string][]any{two: attempt(two, "z2", -1, 0)})
	assert.Equal(t, []float64{0.4}, a.Responses())
	assert.Equal(t, Operations{Operated: 3, Reported: 2, Repeated: 1, OnStandby: 1}, a.Operations())

	none := Assess(begin(t).record)
	assert.Zero(t, none.Summary().N)
	assert.Zero(t, none.Operations())
	assert.Empty(t, none.Proofs())
	late := begin(t)
	late.attempt(one, "z1", -1, 0)
	assert.Equal(t, Operations{Operated: 1}, Assess(late.record).Operations())
	assert.Empty(t, Assess(late.record).Proofs(), "operated once")
}

// A journal that somebody wrote by hand may claim absurd uncertainties: nothing is passed on
// their strength.
func TestAbsurdUncertaintiesProveNothing(t *testing.T) {
	s := begin(t)
	huge := reads(programme.IDMainsPresent, 13.6)
	huge.Uncertainty = 1e200 // whose square is no number any more
	s.tell(huge)
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Limitations(), programme.IDMainsPresent), "not-measured")
	_, err := json.Marshal(a.Judged())
	assert.NoError(t, err, "what was judged can be written down")
	for _, l := range a.Readings() {
		assert.Zero(t, l.Uncertainty)
	}
}

// The uncertainty of a voltage holds the meter's, expanded, and that of the last digit:
// 2·√((U/2)² + (δ/√12)²) (JCGM 100 5.1.2, F.2.2.1, looked up).
func TestUncertaintyOfAVoltage(t *testing.T) {
	for _, tc := range []struct {
		typed       string
		value       float64
		meter, want float64
	}{
		{"13.6 V", 13.6, 0.05, 0.0763763},
		{"13.60 V", 13.6, 0.05, 0.0503322},
		{"13.60 V", 13.6, 0.2, 0.2000833},
		{"13 V", 13, 0.05, 0.5795113},
		{"13.60 V", 13.6, 0, 0}, // not stated
	} {
		s := begin(t)
		s.tell(record.Reading{Step: programme.IDMainsPresent, Quantity: record.VoltageReading, Value: tc.value,
			AsTyped: tc.typed, Uncertainty: tc.meter})
		assert.InDelta(t, tc.want, Assess(s.record).Readings()[0].Uncertainty, 1e-6, tc.typed)
	}
}

// A voltage that was read and left out afterwards is no proof.
func TestAReadingTakenBackIsNotJudged(t *testing.T) {
	const id = programme.IDMainsPresent
	s := begin(t)
	s.tell(reads(id, 13.6))
	assert.Equal(t, checks.Pass, Assess(s.record).Judged().Readings[0].Verdict)
	s.tell(record.Reopened{Step: id}, answer(id, record.LeftOut, "probe slipped"))
	judged := Assess(s.record).Judged().Readings[0]
	assert.Equal(t, []any{checks.Ruling(""), 0.0}, []any{judged.Verdict, judged.Probability})
}

// A retest takes again what gave rise to a finding or was not tested, and only that.
func TestWhatARetestTakesAgain(t *testing.T) {
	const two, fixing, standby = "walk/2.1", "inspection/fixing", "supply/standby-2"
	s := begin(t, "fitted: 2026-11-01", "fitted: 2010-01-01")
	a := s.take(map[string][]any{
		two:     append(attempt(two, "z2", -1, 0), answer(two, record.AsItIs)),
		fixing:  {answer(fixing, record.LeftOut, "dark")},
		standby: {reads(standby, 9.8)},
	})
	require.Len(t, a.Findings(), 2)
	require.Len(t, a.Limitations(), 2, "of which the battery's age is of no step")
	assert.Equal(t, map[string]bool{two: true, fixing: true, standby: true}, Unsatisfied(s.record))
	well := begin(t)
	well.take(nil)
	assert.Empty(t, Unsatisfied(well.record))
}

// Who reads an assessment cannot change it.
func TestAnAssessmentGivesCopies(t *testing.T) {
	a := begin(t).take(nil)
	a.Restart().Verdict = record.Silent
	a.Counts()[record.Proved] = 7
	a.Detectors()[0].Verdict = record.Silent
	a.Computed()[0].Ruling = checks.Fail
	assert.Equal(t, record.Proved, a.Restart().Verdict)
	assert.Equal(t, 2, a.Counts()[record.Proved])
	assert.Equal(t, record.Proved, a.Detectors()[0].Verdict)
	assert.Equal(t, checks.Pass, a.Computed()[0].Ruling)
}

// Every number that is judged is settled, so that two machines write the same digits.
func TestProbabilitiesAreSettled(t *testing.T) {
	s := begin(t)
	s.attempt("walk/1.1", "z1", fast, 4970*time.Millisecond) // limit 5 s, ± 50 ms
	d := Assess(s.record).Detectors()[0]
	require.Equal(t, record.Undecided, d.Restored.Verdict)
	judged := Assess(s.record).Judged().Detectors[0]
	assert.NotEqual(t, d.Restored.Probability, judged.Restored.Probability, "it has more digits than nine")
	assert.InDelta(t, d.Restored.Probability, judged.Restored.Probability, 1e-9)
}
