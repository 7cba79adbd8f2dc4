package record

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

const ownSite = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Windows, kind: window, wiring: normally closed, address: z1, detectors: [North, East, South]}
  - {number: 2, name: Door, kind: door, wiring: normally closed, address: z2, detectors: [Door]}
  - {number: 3, name: Hall, kind: motion, wiring: normally closed, address: z3, detectors: [{name: Motion, powered: {current: 10 mA, minimum: 9 V}}]}
`

// ownTold tells signals at their times after ten seconds, and then, at a time, facts that
// the technician's own order gives: BeforeNS and UntilNS of cues are counted from the ten
// seconds, and turned here.
func ownTold(t *testing.T, timeline string, at time.Duration, facts ...Fact) (*Record, error) {
	t.Helper()
	opened := openedHonestly(t, asItIs)
	opened.Site = ownSite
	opened.Programme = programmeOf(t, ownSite)
	begin := 10 * time.Second
	now := time.Duration(0)
	var all []any
	pass := func(to time.Duration) { all, now = append(all, to-now), to }
	for _, text := range strings.Split(timeline, ";") {
		words := strings.Fields(text)
		since, err := time.ParseDuration(words[0])
		require.NoError(t, err)
		pass(begin + since)
		if len(words) == 2 { // "lost" or "back"
			all = append(all, signal.Connection{Up: words[1] == "back"})
			continue
		}
		all = append(all, signal.Signal{Address: words[1], State: signal.State(words[2])})
	}
	pass(begin + at)
	for _, f := range facts {
		if c, is := f.(Cue); is {
			c.BeforeNS = int64(at) - c.BeforeNS
			if c.UntilNS != 0 {
				c.UntilNS = int64(at) - c.UntilNS
			}
			f = c
		}
		all = append(all, f)
	}
	return told(t, opened, all...)
}

const ms = int64(time.Millisecond)

// touched is a touch so long after the ten seconds, known to 30 ms: the device's clock is a
// minute ahead.
func touched(since int64) (*Tap, int64) {
	begin := 10 * time.Second
	return &Tap{DeviceNS: int64(begin) + since + int64(time.Minute), EarliestNS: -int64(time.Minute) - 30*ms,
		LatestNS: -int64(time.Minute) + 30*ms, By: ByTouch}, 30 * ms
}

func operated(point string, since int64, touch bool) Cue {
	c := Cue{Step: "walk/" + point, Half: Operate, BeforeNS: since, Own: true}
	if !touch {
		c.BeforeNS--
		c.NotTimed = NoTouch
		return c
	}
	c.Tap, c.UncertaintyNS = touched(since)
	return c
}

func cutAt(c Cue, since int64) Cue {
	c.UntilNS = since
	return c
}

func restored(point string, since int64) Cue {
	return Cue{Step: "walk/" + point, Half: Restore, BeforeNS: since, Own: true, NotTimed: OwnTime}
}

func over(point string) Ended { return Ended{Step: "walk/" + point, By: ByTime} }

// What a technician operates in their own order is judged over the signals that the journal
// holds already, before its entry. Limits of the site: response 2 s, listening 15 s, steady
// 1 s (common practice, no source). The person's own part of the uncertainty is 0.2 s:
// computed in references of human timing from Repp 2005 and Deber et al. 2016, rounded up.
func TestOneOwnOrder(t *testing.T) {
	const s = 1000 * ms
	for _, tc := range []struct {
		name, timeline string
		facts          []Fact
		step           string
		verdict        Verdict
		response       time.Duration
	}{
		{"touched and opened", "420ms z2 active; 3s z2 restored",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Proved, 420 * time.Millisecond},
		{"touched, opened and closed within the time it should stand", "420ms z2 active; 900ms z2 restored",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Proved, 420 * time.Millisecond},
		{"another zone as well, while it stood", "420ms z2 active; 600ms z1 active; 3s z2 restored",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Proved, 420 * time.Millisecond},
		{"another zone, when it was closed already", "420ms z2 active; 600ms z2 restored; 700ms z1 active",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Proved, 420 * time.Millisecond},
		{"opened untouched", "420ms z2 active; 3s z2 restored",
			[]Fact{operated("2.1", 420*ms, false), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Reported, 0},
		{"left open for ten minutes", "420ms z2 active; 10m z2 restored",
			[]Fact{operated("2.1", 420*ms, false), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Reported, 0},
		{"chatters when it opens", "420ms z2 active; 500ms z2 restored; 600ms z2 active; 5s z2 restored",
			[]Fact{operated("2.1", 420*ms, false), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Unsteady, 0},
		{"chatters when it closes", "420ms z2 active; 5s z2 restored; 5300ms z2 active; 5500ms z2 restored",
			[]Fact{operated("2.1", 420*ms, false), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Unsteady, 0},
		{"chatters when it opens, stands open, and chatters again", "420ms z2 active; 500ms z2 restored; 600ms z2 active; " +
			"9s z2 restored; 9100ms z2 active; 9200ms z2 restored",
			[]Fact{operated("2.1", 420*ms, false), over("2.1"), restored("2.1", 420*ms), over("2.1")}, "2.1", Unsteady, 0},
		{"late", "4s z2 active; 8s z2 restored",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 4*s), over("2.1")}, "2.1", Late, 4 * time.Second},
		{"as late as the person may have been", "2100ms z2 active; 8s z2 restored",
			[]Fact{operated("2.1", 0, true), over("2.1"), restored("2.1", 2100*ms), over("2.1")}, "2.1", Undecided,
			2100 * time.Millisecond},
		{"another window of the bank is next, and this one had not answered", "1500ms z1 active; 5s z1 restored",
			[]Fact{cutAt(operated("1.1", 0, true), s), over("1.1")}, "1.1", Void, 0},
		{"the next one of the bank", "1500ms z1 active; 5s z1 restored",
			[]Fact{cutAt(operated("1.1", 0, true), s), over("1.1"), operated("1.2", s, true), over("1.2"),
				restored("1.2", 1500*ms), over("1.2")}, "1.2", Proved, 500 * time.Millisecond},
		{"waited for longer than its limit before the next", "20s z1 active",
			[]Fact{cutAt(operated("1.1", 0, true), 10*s), over("1.1")}, "1.1", Silent, 0},
		{"two windows of a bank one after the other", "1s z1 active; 4s z1 restored; 8s z1 active; 10s z1 restored",
			[]Fact{operated("1.2", s, false), over("1.2"), restored("1.2", s), over("1.2"),
				operated("1.3", 8*s, false), over("1.3"), restored("1.3", 8*s), over("1.3")}, "1.3", Reported, 0},
		{"a door that stood open while a window was opened", "1s z2 active; 3s z1 active; 5s z1 restored; 9s z2 restored",
			[]Fact{operated("1.1", 3*s, false), over("1.1"), restored("1.1", 3*s), over("1.1"),
				operated("2.1", s, false), over("2.1"), restored("2.1", s), over("2.1")}, "2.1", Reported, 0},
		{"another zone answered instead", "1s z1 active; 3s z1 restored",
			[]Fact{operated("2.1", s, false), over("2.1")}, "2.1", Crossed, 0},
		{"nothing came", "1s z1 active; 3s z1 restored",
			[]Fact{Cue{Step: "walk/2.1", Half: Operate, Own: true, NotTimed: NoTouch, BeforeNS: 20 * s},
				Ended{Step: "walk/2.1", By: BySilent}}, "2.1", Silent, 0},
		{"walked through in front of a motion detector", "1s z3 active; 2s z3 restored; 4s z3 active; 6s z3 restored",
			[]Fact{operated("3.1", s, false), over("3.1"), restored("3.1", s), over("3.1")}, "3.1", Reported, 0},
	} {
		at := 20 * time.Second
		if tc.name == "left open for ten minutes" {
			at = 11 * time.Minute
		}
		r, err := ownTold(t, tc.timeline, at, tc.facts...)
		require.NoError(t, err, tc.name)
		o := r.Find("walk/" + tc.step)
		a := o.Attempts()[len(o.Attempts())-1]
		verdict := a.Verdict()
		if a.Operate.Judge().Verdict == Void {
			verdict = Void
		}
		assert.Equal(t, tc.verdict, verdict, tc.name)
		j := a.Operate.Judge()
		assert.Equal(t, tc.response, j.Response, tc.name)
		assert.Equal(t, tc.verdict.Proves(), o.Concluded(), tc.name)
		assert.Equal(t, tc.name == "another zone as well, while it stood", j.Also != nil, tc.name)
		assert.Empty(t, r.Breaches(), tc.name)
		if tc.verdict == Reported {
			assert.Equal(t, Judgement{Verdict: Reported, NotTimed: NoTouch, Changes: 1}, j, tc.name)
		}
		if a.Operate.Tap() != nil && j.Response > 0 {
			want := math.Sqrt(50*50 + 30*30 + 200*200) // ms: the source's, the touch's, the person's
			assert.InDelta(t, want, float64(j.Uncertainty)/1e6, 0.1, tc.name)
		}
	}
}

// No report counts twice, whatever the order in which it is claimed.
func TestNoReportProvesTwo(t *testing.T) {
	const s = 1000 * ms
	whole := func(point string, since int64) []Fact {
		return []Fact{operated(point, since, false), over(point), restored(point, since), over(point)}
	}
	for name, facts := range map[string][]Fact{
		"the same report":           append(whole("1.1", s), whole("1.2", s)...),
		"the half of it":            {operated("1.1", s, false), over("1.1"), operated("1.2", s, false)},
		"an earlier one afterwards": append(whole("1.1", 8*s), whole("1.2", s)...),
		"of what answered instead":  append([]Fact{operated("2.1", s, false), over("2.1")}, whole("1.1", s)...),
		"timed without a touch":     {Cue{Step: "walk/1.1", Half: Operate, Own: true, BeforeNS: s}},
		"restored and timed":        {operated("1.1", s, false), over("1.1"), Cue{Step: "walk/1.1", Half: Restore, Own: true, BeforeNS: s}},
		"over before it began":      {cutAt(operated("1.1", s, true), s/2)},
	} {
		_, err := ownTold(t, "1s z1 active; 4s z1 restored; 8s z1 active; 10s z1 restored", 20*time.Second, facts...)
		require.ErrorIs(t, err, ErrNoSense, name)
	}
}

// The bounds of one exchange, published: RFC 5905, θ ± δ/2 = [T3 − T4, T2 − T1]; the first
// example of T1…T4 = 1000, 1510, 1511, 1012 ms gives [499, 510].
func TestTheInstantOfATouch(t *testing.T) {
	at, by := Tap{DeviceNS: 2000 * ms, EarliestNS: 499 * ms, LatestNS: 510 * ms, By: ByTouch}.At()
	assert.Equal(t, 2504500*time.Microsecond, at)
	assert.Equal(t, 5500*time.Microsecond, by)
	for name, bad := range map[string]Tap{
		"nobody's":  {By: "wink"},
		"swapped":   {EarliestNS: 2, LatestNS: 1, By: ByTouch},
		"too wide":  {LatestNS: int64(2*WidestTap) + 1, By: ByCount},
		"far away":  {DeviceNS: math.MaxInt64, By: ByTouch},
		"far after": {EarliestNS: math.MinInt64, LatestNS: math.MinInt64 + 1, By: ByTouch},
	} {
		assert.Error(t, bad.Check(), name)
	}
	assert.NoError(t, Tap{LatestNS: int64(2 * WidestTap), By: ByCount}.Check())
}

func programmeOf(t *testing.T, text string) []programme.Step {
	t.Helper()
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	return programme.Of(readSite(t, text), list)
}
