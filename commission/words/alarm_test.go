package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// What is allowed beyond a declared time stands beside it.
func TestTheLimitOfAnAlarmShowsWhatIsAllowed(t *testing.T) {
	row := judge.AlarmEvent{Limit: "10 s", Took: 10500 * time.Millisecond, Uncertainty: 100 * time.Millisecond}
	assert.Equal(t, "10.5 s ± 0.1 s of 10 s", English{}.Say(AlarmLimit{Row: row}))
	row.Slack = 2 * time.Second
	assert.Equal(t, "10.5 s ± 0.1 s of 10 s + 2 s", English{}.Say(AlarmLimit{Row: row}))
}

// After a break it is said how the system stood.
func TestHowTheSystemStoodIsSaid(t *testing.T) {
	for was, want := range map[record.Instant]string{record.ToSet: "was being set:", record.SystemSet: "was set:",
		record.Intruded: "was set, and a detector was operated", record.Alarmed: "was set, and in alarm:"} {
		assert.Contains(t, English{}.Say(ask.SystemMayBeSet{Was: was}), "Before the break the system "+want)
	}
}
