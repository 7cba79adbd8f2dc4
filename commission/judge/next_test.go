package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

func TestTheLatestVisitToTheWholeCounts(t *testing.T) {
	on := func(kind programme.VisitKind, year int, result Overall) record.Earlier {
		return record.Earlier{Visit: kind, Ended: time.Date(year, 3, 1, 12, 0, 0, 0, time.UTC), Result: string(result)}
	}
	for _, c := range []struct {
		name    string
		earlier []record.Earlier
		want    int // year, 1 for none
	}{
		{"none is known", nil, 1},
		{"the latest, in any order", []record.Earlier{on(programme.Maintenance, 2026, Unsatisfactory),
			on(programme.Handover, 2025, Satisfactory)}, 2026},
		{"what is not finished puts nothing off", []record.Earlier{on(programme.TakeOver, 2025, WithLimitations),
			on(programme.Maintenance, 2026, NotFinished)}, 2025},
		{"a clock that was ahead puts nothing off", []record.Earlier{on(programme.TakeOver, 2025, WithLimitations),
			on(programme.Maintenance, 2029, Satisfactory)}, 2025},
		{"a retest and a visit after an alarm look at a part", []record.Earlier{on(programme.Handover, 2024, Satisfactory),
			on(programme.Retest, 2026, Satisfactory), on(programme.AfterAlarm, 2026, Satisfactory)}, 2024},
	} {
		assert.Equal(t, c.want, latestCounted(c.earlier, time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)).Year(), c.name)
	}
}
