package judge

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

var update = flag.Bool("update", false, "write the judgements of a new number of rules, or of a new journal")

// judgedOf is what follows from a kept journal, and the file that keeps it.
func judgedOf(t testing.TB, path string) (judged []byte, golden string) {
	t.Helper()
	c, err := journal.ReadFile(path)
	require.NoError(t, err)
	r, err := record.Fold(c.Entries)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, json.Indent(&out, encoded(Assess(r).Judged()), "", " "))
	out.WriteByte('\n')
	name := strings.TrimSuffix(filepath.Base(path), ".jsonl")
	return out.Bytes(), filepath.Join("../../testdata/judged", fmt.Sprintf("%s-rules-%d.json", name, Rules))
}

// Whoever changes what follows from a record raises Rules: else certificates that were
// written before would be said to differ. The kept judgements notice it.
func TestRulesAreNumbered(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(journals, "*.jsonl"))
	require.NoError(t, err)
	require.Greater(t, len(paths), 7)
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			judged, golden := judgedOf(t, path)
			kept, err := os.ReadFile(golden)
			if os.IsNotExist(err) && *update {
				require.NoError(t, os.WriteFile(golden, judged, 0o644))
				return
			}
			require.NoError(t, err, "write it with -update")
			assert.Equal(t, string(kept), string(judged), "the judgement has changed, and judge.Rules is %d still: "+
				"raise judge.Rules, read the difference, and renew the golden files under the new number with -update", Rules)
		})
	}
}

// The kept records show every verdict that a trial may have, and what else is judged.
func TestKeptRecordsShowMuch(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(journals, "*.jsonl"))
	require.NoError(t, err)
	var all strings.Builder
	for _, path := range paths {
		judged, _ := judgedOf(t, path)
		all.Write(judged)
	}
	has := func(key, value string) {
		assert.True(t, strings.Contains(all.String(), fmt.Sprintf("%q: %q", key, value)), "%s %s", key, value)
	}
	for _, v := range []record.Verdict{record.Proved, record.Undecided, record.Late, record.Silent, record.Crossed,
		record.Inverted, record.Unsteady, record.NotTested, record.Reported} {
		has("verdict", string(v))
	}
	for _, code := range shownSomewhere {
		has("code", code.Code())
	}
	for _, r := range []Overall{NotFinished, Satisfactory, WithLimitations, Unsatisfactory} {
		has("result", string(r))
	}
}

// shownSomewhere is what may be the matter, as far as a visit can show it.
var shownSomewhere = []Statement{NotSo{}, NotChecked{}, NotTested{}, NoPart{}, ProvedThenLeft{}, AlsoAnswered{},
	ReportGarbled{}, OnlyTimed{}, NoneProved{}, StrangersReported{}, ReadingVoid{}, NotMeasured{}, ReadingOutside{},
	ReadingUndecided{}, CalibrationOver{}, CalibrationNotStated{}, UncertaintyNotStated{}, PathOnMains{}, PathNotKnown{},
	NoBattery{},
	MainsStillRemoved{}, RestartLate{}, NotObserved{}, SwitchedOffLate{}, Practice{}, TimedDifferently{},
	CustomerRefused{}, NobodySigned{}, SignalsLost{}, NotAccepted{}, RetestExtent{},
	ComputedSo{Row: AdapterRow{}}, ComputedSo{Row: StandbyRow{}}, ComputedSo{Row: DropRow{}},
	ComputedSo{Row: CurrentRow{}}, ComputedSo{Row: LoopRow{}}, ComputedSo{Row: AgeRow{}},
	ComputedSo{Row: ChargerRow{}}, ComputedSo{Row: OutputLimitRow{}}, ComputedSo{Row: RechargeRow{}},
	ComputedSo{Row: EnergyRow{}}, ComputedSo{Row: ChargingRow{}}, ComputedSo{Row: SagRow{}},
	ComputedSo{Row: SystemCurrentRow{}}, ComputedSo{Row: FarRow{}}, NotComputed{}, LimitsAssumed{}, PowerUnknown{},
	NoOutput{}, NoCentre{}, NextNotSaid{}, NoVoltmeter{}, SwitchOverLost{}, NotTimed{}, OnlyReported{}}

// Machines may differ in the last digits; what is judged has none of them.
func TestNumbersAreSettled(t *testing.T) {
	assert.Equal(t, 0.3, settled(0.1+0.2))
	assert.Zero(t, settled(0))
	assert.Equal(t, 1e-9, settled(1.2e-9), "a probability is no nearer than that")
	for raw, want := range map[string]string{
		`{"a":0.30000000000000004,"b":[1234567890123456789,-1.99999999999]}`: `{"a":0.3,"b":[1234567890123456789,-2]}`,
		`{"0.10000000000000004":"\" 0.10000000000000004\\"}`:/* unchanged */
		`{"0.10000000000000004":"\" 0.10000000000000004\\"}`,
		`9.12345678912`: `9.12345679`, `1e-300`: `0`, `-1e-300`: `0`, `2.123456789123e+30`: `2.12345679e+30`,
		`null`: `null`, `"`: `"`, `"\`: `"\`,
	} {
		assert.Equal(t, want, string(settledJSON([]byte(raw))))
	}
}

// What was accepted on one machine stays accepted on another.
func TestAcceptanceSurvivesTheLastDigit(t *testing.T) {
	f := Finding{ID: "L1", What: ReadingUndecided{Volt: 0.1 + 0.2}}
	said := bytes.Replace(f.Said(), []byte(`"volt":0.3`), []byte(`"volt":0.30000000000000004`), 1)
	require.NotEqual(t, string(f.Said()), string(said))
	assert.Empty(t, notAccepted([]record.Acceptance{{Said: said}}, []Finding{f}))
}
