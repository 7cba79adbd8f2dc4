package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// A trial counts from when its cue was shown; what came before that came before the cue.
func TestACueThatIsShownLate(t *testing.T) {
	const ms = time.Millisecond
	cue, shown := Cue{Step: "walk/1.1", Half: Operate}, Shown{Step: "walk/1.1"}
	opens, ended := reported("z1", signal.Active), Ended{Step: "walk/1.1", By: ByTime}
	for name, tc := range map[string]struct {
		facts    []any
		verdict  Verdict
		response time.Duration
	}{
		"at once":         {[]any{cue, shown, 400 * ms, opens, time.Second, ended}, Proved, 400 * ms},
		"late":            {[]any{cue, 3 * time.Second, shown, 400 * ms, opens, time.Second, ended}, Proved, 400 * ms},
		"answered before": {[]any{cue, time.Second, opens, time.Second, shown, 15 * time.Second, ended}, Silent, 0},
		"answered before and after": {[]any{cue, time.Second, opens, reported("z1", signal.Restored), time.Second, shown,
			300 * ms, opens, time.Second, ended}, Proved, 300 * ms},
		"another before": {[]any{cue, time.Second, reported("z2", signal.Active), time.Second, shown, 300 * ms, opens,
			time.Second, ended}, Proved, 300 * ms},
		"another before, and nothing": {[]any{cue, time.Second, reported("z2", signal.Active), time.Second, shown,
			15 * time.Second, ended}, Silent, 0},
	} {
		trial := recordOf(t, tc.facts...).Find("walk/1.1").Attempts()[0].Operate
		assert.Equal(t, tc.verdict, trial.Judge().Verdict, name)
		assert.Equal(t, tc.response, trial.Judge().Response, name)
		assert.Nil(t, trial.Judge().Also, name)
	}
	r := recordOf(t, cue, 3*time.Second, shown)
	assert.Equal(t, at(3*time.Second), r.Find("walk/1.1").Attempts()[0].Operate.At())
	recordOf(t, shown)
	refuses(t, "shown", cue, Shown{Step: "walk/2.1"})
	refuses(t, "shown", 5*time.Second, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: ns(time.Second)}, shown)
}
