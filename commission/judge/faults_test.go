package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// mainsFailure is a visit in which mains was removed for so long, and what then was heard; the
// controller tells of mains where told. It is what is the matter with its report, and how grave.
func mainsFailure(
	t *testing.T,
	limit string,
	told bool,
	result record.Result,
	heard ...any,
) (codes map[string]consequence,
	of FaultLine,
) {
	t.Helper()
	s := written(t)
	s.open(honestSite+limit, programme.Handover, ownList)
	l := listening
	if told {
		l.Tells = []signal.Aspect{signal.MainsFault}
	}
	s.tell(l, signal.Connection{Up: true})
	if told {
		s.tell(signal.System{Aspect: signal.MainsFault})
	}
	s.mainsOff()
	s.tell(heard...)
	s.tell(answer(programme.IDMainsFault, result))
	a := Assess(s.record)
	codes = map[string]consequence{}
	for _, f := range a.Findings() {
		if f.Step == programme.IDMainsFault {
			codes["F "+f.What.Code()] = f.consequence()
		}
	}
	for _, f := range a.Limitations() {
		if f.Step == programme.IDMainsFault {
			codes["L "+f.What.Code()] = f.consequence()
		}
	}
	for _, one := range a.Faults() {
		if one.Aspect == signal.MainsFault {
			of = one
		}
	}
	return codes, of
}

// What a controller does not report fails a job by a declared limit only, or where a technician
// waited for it and says that it was seen nowhere.
func TestAMainsFailureThatIsNotReported(t *testing.T) {
	const declared = "  mains_fault: 5 min\n"
	on, off := signal.System{Aspect: signal.MainsFault, Present: true}, signal.System{Aspect: signal.MainsFault}
	back := record.Answer{Step: programme.IDMainsOn, Result: record.Done}
	fault, declare, test := consequence{Fault, PutRight}, consequence{Advice, DeclareIt}, consequence{Advice, TestIt}
	for name, tc := range map[string]struct {
		limit  string
		told   bool
		result record.Result
		heard  []any
		want   map[string]consequence
		shown  FaultShown
	}{
		"silent, no limit": {"", true, record.AsTold, []any{11 * time.Minute, back},
			map[string]consequence{"L fault-silent": declare}, FaultNever},
		"silent for less than ten minutes, no limit": {"", true, record.AsTold, []any{9 * time.Minute, back},
			map[string]consequence{"L fault-silent": test}, FaultNever},
		"silent, within a limit": {declared, true, record.AsTold, []any{5*time.Minute + 9*time.Second, back},
			map[string]consequence{"L fault-silent": test}, FaultNever},
		"silent, beyond a limit": {declared, true, record.AsTold, []any{5*time.Minute + 10*time.Second, back},
			map[string]consequence{"F fault-silent": fault}, FaultNever},
		"silent, and a report may have been missed": {declared, true, record.AsTold,
			[]any{time.Minute, signal.Connection{Why: signal.Broken}, signal.Connection{Up: true}, 10 * time.Minute, back},
			map[string]consequence{"L fault-silent": test}, FaultNever},
		"reported after any time, no limit": {"", true, record.AsTold, []any{time.Hour, on, back, fast, off},
			map[string]consequence{}, FaultReported},
		"reported, within a limit": {declared, true, record.AsTold, []any{time.Minute, on, back, fast, off},
			map[string]consequence{}, FaultReported},
		"reported near a limit": {declared, true, record.AsTold, []any{5*time.Minute + 5*time.Second, on, back, fast, off},
			map[string]consequence{"L fault-undecided": test}, FaultUnclear},
		"reported beyond a limit": {declared, true, record.AsTold, []any{6 * time.Minute, on, back, fast, off},
			map[string]consequence{"F fault-late": fault}, FaultTooLate},
		"not cleared": {"", true, record.AsTold, []any{time.Minute, on, back, 20 * time.Minute},
			map[string]consequence{"L fault-stays": fault}, FaultNotCleared},
		"waited, and seen nowhere": {"", false, record.NotSeen, []any{10 * time.Minute, back},
			map[string]consequence{"F fault-not-seen": fault}, FaultUnseen},
		"seen nowhere, and not waited": {"", false, record.NotSeen, []any{9 * time.Minute, back},
			map[string]consequence{"L fault-not-seen": test}, FaultUnseen},
		"seen nowhere, beyond a limit": {declared, false, record.NotSeen, []any{6 * time.Minute, back},
			map[string]consequence{"F fault-not-seen": fault}, FaultUnseen},
		"seen": {declared, false, record.AtController, []any{time.Minute, back}, map[string]consequence{}, FaultReported},
		"seen, and there still": {"", false, record.NotCleared, []any{time.Minute, back},
			map[string]consequence{"F fault-stays": fault}, FaultNotCleared},
	} {
		t.Run(name, func(t *testing.T) {
			got, line := mainsFailure(t, tc.limit, tc.told, tc.result, tc.heard...)
			assert.Equal(t, tc.want, got)
			assert.Equal(t, tc.shown, line.Shown())
			if line.Shown() == FaultNever {
				_, fails := got["F fault-silent"]
				assert.Equal(t, !fails, line.Unsure())
			}
		})
	}
}
