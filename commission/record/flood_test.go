package record

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// What a trial keeps of what it heard is what all that it heard would tell.
func TestWhatATrialKeepsIsWhatItHeard(t *testing.T) {
	s := readSite(t, trialSite)
	states := []signal.State{signal.Active, signal.Restored, signal.Tamper, signal.Trouble, signal.NotUnderstood}
	addresses := []string{"elsewhere"}
	for i := range s.Zones {
		addresses = append(addresses, s.Zones[i].Address)
	}
	random := rand.New(rand.NewPCG(8, 1))
	for range 2000 {
		zone, half := &s.Zones[random.IntN(len(s.Zones))], []Half{Operate, Restore}[random.IntN(2)]
		before := []signal.State{signal.Unknown, signal.Active, signal.Restored}[random.IntN(3)]
		trial := newTrial(s, zone, half, 0, before)
		for range random.IntN(12) {
			since := time.Duration(random.IntN(10)-1) * time.Second
			trial.hear(Heard{Since: since, Address: addresses[random.IntN(len(addresses))],
				State: states[random.IntN(len(states))]})
		}
		changes, other, since := heardIn(trial)
		assert.ElementsMatch(t, changes, trial.transitions())
		gotOther, gotSince := trial.answeredInstead()
		assert.Equal(t, other, gotOther)
		assert.Equal(t, since, gotSince)
	}
}

// heardIn are the changes of a trial's zone, and the other zone that answered instead.
func heardIn(t *Trial) (changes []transition, other *site.Zone, since time.Duration) {
	now := t.before
	for _, h := range t.heard {
		z := t.site.ZoneAt(h.Address)
		switch to := answers(t.zone, h.State); {
		case z == t.zone && to != signal.Unknown && to != now:
			changes = append(changes, transition{h.Since, to})
			now = to
		case z != t.zone && z != nil && other == nil && h.State == signal.Active && t.half == Operate &&
			(!z.Kind.Motion() || t.zone.Kind.Motion()):
			other, since = z, h.Since
		}
	}
	return changes, other, since
}

// A flood of signals after a cue that is delivered late, as of a zone with a bad joint or
// of a journal that somebody wrote to keep a verifier busy, takes no time that grows with
// its square: two minutes for 40,000 signals.
func TestAFloodAfterALateCue(t *testing.T) {
	facts := []any{time.Second, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: 1}}
	const many = 40_000
	for i := range many {
		state := []signal.State{signal.Active, signal.Restored}[i%2]
		facts = append(facts, time.Microsecond, signal.Signal{Address: "z1", State: state})
	}
	began := time.Now()
	r := recordOf(t, facts...)
	assert.Len(t, r.Find("walk/1.1").Attempts()[0].Operate.Heard(), many)
	assert.Less(t, time.Since(began), 30*time.Second)
}
