package judge

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

const first = "walk/1.1"

// A bound is of one detector, over its repeated operations. Three of three: 0.05^(1/3);
// two of two: 0.05^(1/2) (Clopper and Pearson).
func TestProofIsOfADetectorThatWasRepeated(t *testing.T) {
	s := begin(t)
	s.attempt(first, "z1", fast, fast)
	assert.Empty(t, Assess(s.record).Proofs())
	s.attempt(first, "z1", fast, fast)
	s.attempt("walk/2.1", "z2", fast, fast)
	a := Assess(s.record)
	require.Len(t, a.Proofs(), 1)
	assert.InDelta(t, 0.223607, a.Proofs()[0].LowerBound, 1e-6)
	s.attempt(first, "z1", fast, fast)
	a = Assess(s.record)
	require.Len(t, a.Proofs(), 1)
	assert.InDelta(t, 0.368403, a.Proofs()[0].LowerBound, 1e-6)
	assert.Equal(t, "1.1", string(a.Proofs()[0].Detector.Point))
	assert.Equal(t, Operations{Operated: 4, Reported: 4, Repeated: 2}, a.Operations())
	judged := a.Judged().Proof
	assert.Equal(t, []JudgedProof{{"1.1", 3, 3, 0.36840315, 0.95}}, judged)
}

// What was missed before a repair does not count against the detector that was mended; it
// is counted, and told, with what was done.
func TestMendedFaultDoesNotCountAgainst(t *testing.T) {
	s := begin(t)
	s.tell(record.Note{Step: first, Text: "stiff"})
	s.attempt(first, "z1", -1, 0)
	s.tell(record.Note{Step: first, Text: "joint crimped"}, record.Note{Step: first, Text: "and taped"})
	a := Assess(s.record)
	assert.Equal(t, Operations{Operated: 1}, a.Operations(), "not proved yet")
	assert.Empty(t, a.Detectors()[0].Outcome.Mended())
	s.attempt(first, "z1", fast, fast)
	s.attempt(first, "z1", fast, fast)
	a = Assess(s.record)
	assert.Equal(t, Operations{Operated: 3, Reported: 2, Repeated: 2, Mended: 1}, a.Operations())
	assert.Equal(t, []int{2, 2}, []int{a.Proofs()[0].Operations, a.Proofs()[0].Reported})
	assert.Equal(t, []string{"joint crimped", "and taped"}, a.Detectors()[0].Outcome.Mended())
	assert.Equal(t, []string{"joint crimped", "and taped"}, a.Judged().Detectors[0].Mended)
}

// Without a word about it, a miss is a miss.
func TestMissWithoutARepairCountsAgainst(t *testing.T) {
	s := begin(t)
	s.attempt(first, "z1", -1, 0)
	s.attempt(first, "z1", fast, fast)
	s.tell(record.Note{Step: first, Text: "looks good"})
	a := Assess(s.record)
	assert.Equal(t, Operations{Operated: 2, Reported: 1, Repeated: 1}, a.Operations())
	assert.Equal(t, []int{2, 1}, []int{a.Proofs()[0].Operations, a.Proofs()[0].Reported})
}

// A struck trial is told with its reason and counts for nothing, nor does its repair.
func TestStruckTrialDoesNotCount(t *testing.T) {
	s := begin(t)
	s.attempt(first, "z1", -1, 0)
	s.tell(record.Note{Step: first, Text: "nobody was there"})
	s.tell(record.Struck{Step: first, Trial: 1, Reason: "nobody had moved"})
	s.attempt(first, "z1", fast, fast)
	a := Assess(s.record)
	assert.Equal(t, Operations{Operated: 1, Reported: 1, Struck: 1}, a.Operations())
	assert.Empty(t, a.Proofs())
	d := a.Judged().Detectors[0]
	assert.Equal(t, []JudgedStruck{{1, record.Silent, "nobody had moved"}}, d.Struck)
	assert.Empty(t, d.Mended)
}

// A report that nobody understood is told until the zone was proved without one.
func TestGarbledReportVanishesOnceTheZoneIsUnderstood(t *testing.T) {
	garbled := signal.Signal{Address: "z1", State: signal.NotUnderstood, Raw: `{"x":1}`}
	told := func(s *story) string {
		return s.about(Assess(s.record).Limitations(), "zone 1") + s.record.Garbled("z1")
	}
	s := begin(t)
	s.tell(garbled)
	assert.Contains(t, told(s), "report-garbled")
	s.attempt(first, "z1", -1, 0)
	s.attempt("walk/2.1", "z2", fast, fast)
	assert.Contains(t, told(s), "report-garbled", "proved nothing of that zone")
	s.tell(
		record.Cue{Step: first, Half: record.Operate},
		garbled,
		fast,
		signal.Signal{Address: "z1", State: signal.Active},
		2*fast*10,
		record.Ended{Step: first, By: record.ByTime},
	)
	s.tell(record.Cue{Step: first, Half: record.Restore}, fast, signal.Signal{Address: "z1", State: signal.Restored},
		2*fast*10, record.Ended{Step: first, By: record.ByTime})
	assert.Contains(t, told(s), "report-garbled", "one came in the trial that proved")
	s.attempt(first, "z1", fast, fast)
	assert.NotContains(t, told(s), "report-garbled")
	s.tell(garbled)
	assert.Contains(t, told(s), "report-garbled", "again")
}

// Below 20 values a 95th percentile is the largest; below 59 none bounds it (Wilks).
func TestPercentilesNeedValues(t *testing.T) {
	of := func(n int) Summary { return Summary{Times: checks.Times{N: n}} }
	assert.Equal(t, []bool{false, true}, []bool{of(19).Percentiles(), of(20).Percentiles()})
	assert.Equal(t, []bool{false, true}, []bool{of(58).Bounded(), of(59).Bounded()})
	times := func(n int) string {
		out, err := json.Marshal((&Assessment{summary: of(n)}).judgedTimes())
		require.NoError(t, err)
		return string(out)
	}
	assert.NotContains(t, times(19), "p95")
	assert.Contains(t, times(20), "p95")
}

// What was not tested is counted by what was to be tested or measured.
func TestNotTestedIsCounted(t *testing.T) {
	whole := begin(t).take(nil)
	n := whole.NotTested()
	left := begin(t).take(map[string][]any{first: {answer(first, record.LeftOut, "locked")}})
	assert.Equal(t, n+1, left.NotTested())
}
