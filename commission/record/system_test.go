package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// telling is a source that tells whether the system is set.
var telling = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7,
	Tells: []signal.Aspect{signal.Set}}

// What a controller says of itself is kept in its order, with its instant on the clock of
// the run, and stands until the connection is lost.
func TestWhatTheControllerTellsOfItself(t *testing.T) {
	set := signal.System{Aspect: signal.Set, Present: true, Raw: "armed"}
	r := recordOf(t, telling, 2*time.Second, set)
	assert.Equal(t, []Told{{System: set, At: at(2 * time.Second), Entry: 5, Run: 1, Elapsed: 2 * time.Second}},
		r.Told())
	present, known := r.IsNow(signal.Set)
	assert.True(t, present && known)
	_, known = r.IsNow(signal.Alarm)
	assert.False(t, known)
	assert.True(t, r.Tells(signal.Set) && !r.Tells(signal.Alarm))
	r = recordOf(t, telling, set, signal.Connection{Why: signal.Broken})
	_, known = r.IsNow(signal.Set)
	assert.False(t, known, "what it is now nobody knows")
}

// An aspect that the source does not deliver, and one that nobody knows, are refused.
func TestNobodyTellsWhatIsNotListenedTo(t *testing.T) {
	_, err := told(t, openedHonestly(t, asItIs), telling, signal.System{Aspect: signal.Alarm})
	assert.ErrorContains(t, err, string(LawSampler))
	assert.Error(t, signal.System{Aspect: "asleep"}.Check())
	assert.Error(t, signal.System{Aspect: signal.Set, Kept: "long"}.Check())
	_, err = told(t, openedHonestly(t, asItIs), signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer,
		Tells: []signal.Aspect{"asleep"}})
	assert.ErrorIs(t, err, ErrUnknownKind)
}
