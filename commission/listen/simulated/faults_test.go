package simulated

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const buildingSite = `
reference: S-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Hall, kind: motion, wiring: normally closed, address: z2, detectors: [PIR]}
  - {number: 3, name: Cover, kind: tamper, wiring: normally closed, address: z3, detectors: [Cover]}
outputs: [{name: Sounder, kind: sounder}]
`

var start = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

// bench is a controller with its clock and what it reports.
type bench struct {
	*Controller
	clock       *clock.Simulated
	signals     []signal.Signal
	connections []signal.Connection
}

func (b *bench) Signal(s signal.Signal)         { b.signals = append(b.signals, s) }
func (b *bench) Connection(c signal.Connection) { b.connections = append(b.connections, c) }

func built(t *testing.T, opt Options) *bench {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(buildingSite))
	require.NoError(t, err)
	b := &bench{clock: clock.NewSimulated(start)}
	b.Controller, err = New(s, b.clock, opt)
	require.NoError(t, err)
	require.NoError(t, b.Start(t.Context(), b))
	return b
}

// pass lets time go by and returns what came in it.
func (b *bench) pass(d time.Duration) []signal.Signal {
	before, limit := len(b.signals), b.clock.Now().Add(d)
	for b.clock.Now().Before(limit) && b.clock.Pass(limit) {
	}
	return b.signals[before:]
}

// act does one half and returns how long after it each report came, and the reports.
func (b *bench) half(p site.Point, half record.Half) (delays []time.Duration, reports []string) {
	from := b.clock.Now()
	b.Controller.act(p, half)
	for _, s := range b.pass(time.Minute) {
		delays = append(delays, s.At.Sub(from))
		reports = append(reports, s.Address+" "+string(s.State)+s.Kept)
	}
	return delays, reports
}

// At the start every zone is told as a broker tells what it kept.
func TestStatesAtTheStart(t *testing.T) {
	b := built(t, Options{Faults: []Fault{{At: "2.1", Kind: Inverted}, {At: "3.1", Kind: Silent}}})
	assert.Equal(t, []signal.Signal{
		{At: start, Address: "z1", State: signal.Restored, Kept: "retained"},
		{At: start, Address: "z2", State: signal.Active, Kept: "retained"},
		{At: start, Address: "z3", State: signal.Restored, Kept: "retained"},
	}, b.signals)
	about := b.About()
	assert.True(t, about.Simulated)
	assert.Equal(t, (50 * time.Millisecond).Nanoseconds(), about.UncertaintyNS)
}

// What a whole detector reports, and in what time: a hand takes 0.2 to 0.9 s, the
// controller 0.06 to 0.35 s, a motion detector 2 to 6 s to come to rest.
func TestDetectorsWithoutFault(t *testing.T) {
	second := time.Second
	for _, tc := range []struct {
		at       site.Point
		half     record.Half
		report   string
		from, to time.Duration
	}{
		{"1.1", record.Operate, "z1 active", 260 * time.Millisecond, 1250 * time.Millisecond},
		{"1.1", record.Restore, "z1 restored", 260 * time.Millisecond, 1250 * time.Millisecond},
		{"2.1", record.Operate, "z2 active", 260 * time.Millisecond, 1250 * time.Millisecond},
		{"2.1", record.Restore, "z2 restored", 2*second + 260*time.Millisecond, 6*second + 1250*time.Millisecond},
		{"3.1", record.Operate, "z3 tamper", 260 * time.Millisecond, 1250 * time.Millisecond},
		{"3.1", record.Restore, "z3 restored", 260 * time.Millisecond, 1250 * time.Millisecond},
	} {
		b := built(t, Options{Seed: 3})
		shortest, longest := time.Hour, time.Duration(0)
		for range 300 {
			delays, reports := b.half(tc.at, tc.half)
			require.Equal(t, []string{tc.report}, reports, tc.report)
			shortest, longest = min(shortest, delays[0]), max(longest, delays[0])
		}
		assert.GreaterOrEqual(t, shortest, tc.from, tc.report)
		assert.LessOrEqual(t, longest, tc.to, tc.report)
		assert.Less(t, shortest, tc.from+(tc.to-tc.from)/5, "the whole range is drawn from")
		assert.Greater(t, longest, tc.to-(tc.to-tc.from)/5, "the whole range is drawn from")
	}
	b := built(t, Options{})
	_, reports := b.half("9.9", record.Operate)
	assert.Empty(t, reports, "nothing is there")
}

func TestFaults(t *testing.T) {
	for name, tc := range map[string]struct {
		fault              Fault
		operated, restored []string
	}{
		"silent":  {Fault{Kind: Silent}, nil, nil},
		"swapped": {Fault{Kind: Swapped, With: 2}, []string{"z2 active"}, []string{"z2 restored"}},
		"chatter": {Fault{Kind: Chatter}, []string{"z1 active", "z1 restored", "z1 active"},
			[]string{"z1 restored", "z1 active", "z1 restored"}},
		"inverted": {Fault{Kind: Inverted}, []string{"z1 restored"}, []string{"z1 active"}},
		"slow":     {Fault{Kind: Slow}, []string{"z1 active"}, []string{"z1 restored"}},
	} {
		tc.fault.At = "1.1"
		b := built(t, Options{Faults: []Fault{tc.fault}})
		delays, reports := b.half("1.1", record.Operate)
		assert.Equal(t, tc.operated, reports, name)
		switch name {
		case "slow":
			assert.Greater(t, delays[0], 2*time.Second, "the limit of a response, unless the site says otherwise")
		case "chatter":
			assert.Equal(t, []time.Duration{70 * time.Millisecond, 120 * time.Millisecond},
				[]time.Duration{delays[1] - delays[0], delays[2] - delays[1]})
		}
		_, reports = b.half("1.1", record.Restore)
		assert.Equal(t, tc.restored, reports, name)
		_, reports = b.half("3.1", record.Operate)
		assert.Equal(t, []string{"z3 tamper"}, reports, "another detector has no fault")
	}
}

// A fault is there for so many trials, and repaired from then on. Only operating counts.
func TestAFaultIsRepaired(t *testing.T) {
	b := built(t, Options{Faults: []Fault{{At: "1.1", Kind: Silent, Trials: 2}}})
	var came []int
	for range 4 {
		_, operated := b.half("1.1", record.Operate)
		_, restored := b.half("1.1", record.Restore)
		came = append(came, len(operated)+len(restored))
	}
	assert.Equal(t, []int{0, 0, 2, 2}, came)
}

func TestFaultsThatTheSiteCannotHave(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(buildingSite))
	require.NoError(t, err)
	for _, f := range []Fault{{At: "9.1", Kind: Silent}, {At: "1.1", Kind: Swapped, With: 9}, {At: "1.1", Kind: Swapped}} {
		_, err := New(s, clock.NewSimulated(start), Options{Faults: []Fault{{At: "1.1", Kind: Slow}, f}})
		assert.ErrorContains(t, err, "simulated fault", f)
	}
}

// The same seed gives the same visit, another seed another.
func TestSeeds(t *testing.T) {
	times := func(seed uint64) (all []time.Duration) {
		b := built(t, Options{Seed: seed})
		for range 5 {
			delays, _ := b.half("1.1", record.Operate)
			all = append(all, delays...)
		}
		return all
	}
	assert.Equal(t, times(1), times(1))
	assert.NotEqual(t, times(1), times(2))
}

// Nothing comes after the end.
func TestClose(t *testing.T) {
	b := built(t, Options{})
	b.Controller.act("1.1", record.Operate)
	require.NoError(t, b.Close())
	assert.Empty(t, b.pass(time.Minute))
	b.Controller.act("1.1", record.Operate)
	assert.Empty(t, b.pass(time.Minute))
}

// Before the start there is nobody to report to.
func TestNobodyListens(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(buildingSite))
	require.NoError(t, err)
	c := clock.NewSimulated(start)
	b, err := New(s, c, Options{})
	require.NoError(t, err)
	b.act("1.1", record.Operate)
	assert.NotPanics(t, func() { c.Pass(start.Add(time.Minute)) })
}

func TestTheControllerComesBack(t *testing.T) {
	b := built(t, Options{Seed: 5})
	for range 50 {
		from := b.clock.Now()
		b.cued(programme.Step{Kind: programme.StepRestart}, record.Operate)
		came := b.pass(time.Minute)
		require.Len(t, came, 1)
		assert.Equal(t, "z1", came[0].Address)
		assert.Equal(t, signal.Restored, came[0].State)
		assert.Empty(t, came[0].Kept)
		assert.GreaterOrEqual(t, came[0].At.Sub(from), 18*time.Second)
		assert.LessOrEqual(t, came[0].At.Sub(from), 40*time.Second)
	}
}

// A supply at float, then a battery that loses its surface charge, sinks with time and
// under load. The mean of many readings hides their noise of 4 mV.
func TestVolts(t *testing.T) {
	mean := func(b *bench) float64 {
		sum := 0.0
		for range 2000 {
			sum += b.volts()
		}
		return sum / 2000
	}
	b := built(t, Options{})
	assert.InDelta(t, 13.62, mean(b), 0.0005, "mains")
	b.pass(time.Hour)
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	assert.Greater(t, mean(b), 13.1, "mains just removed")
	b.pass(90 * time.Second)
	settled := mean(b)
	assert.InDelta(t, 12.77, settled, 0.05, "settled")
	b.pass(time.Hour - 90*time.Second)
	hour := mean(b)
	assert.InDelta(t, settled-0.05, hour, 0.02, "after an hour: a twenty-eighth of 7 Ah is used")
	b.Took(b.clock.Now(), record.Energised{Output: "Sounder", On: true})
	assert.Less(t, mean(b), hour-0.02, "and sounding")
	b.Took(b.clock.Now(), record.Energised{Output: "Sounder"})
	assert.InDelta(t, hour, mean(b), 0.001, "silent again")
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOn, Result: record.Done})
	assert.InDelta(t, 13.62, mean(b), 0.0005, "mains back")
}

// What stands under an address with a delay reports that late when it is operated, and
// comes to rest as quickly as others do.
func TestDelays(t *testing.T) {
	b := built(t, Options{Delays: map[string]time.Duration{"z1": 12 * time.Second}})
	delays, reports := b.half("1.1", record.Operate)
	assert.Equal(t, []string{"z1 active"}, reports)
	assert.GreaterOrEqual(t, delays[0], 12200*time.Millisecond)
	assert.LessOrEqual(t, delays[0], 12900*time.Millisecond)
	delays, _ = b.half("1.1", record.Restore)
	assert.Less(t, delays[0], 1250*time.Millisecond)
	delays, _ = b.half("2.1", record.Operate)
	assert.Less(t, delays[0], 1250*time.Millisecond, "another address")
}

// A controller that cannot stand the switch-over to battery is gone for a while, says why
// as a source does, and tells its states as kept ones.
func TestSwitchOver(t *testing.T) {
	for kind, tc := range map[FaultKind]struct {
		why, again signal.Change
		from, to   time.Duration
	}{
		Restarts: {signal.ControllerGone, signal.ControllerUp, 18 * time.Second, 40 * time.Second},
		Drops:    {signal.Broken, signal.BackAgain, 8 * time.Second, 8 * time.Second},
	} {
		b := built(t, Options{Faults: []Fault{{Kind: kind}}})
		b.signals = nil
		off := b.clock.Now()
		b.Took(off, record.Answer{Step: programme.IDMainsOff, Result: record.Done})
		assert.Positive(t, b.awayFor())
		came := b.pass(time.Minute)
		require.Len(t, b.connections, 2, kind)
		assert.Equal(t, signal.Connection{Why: tc.why}, b.connections[0])
		assert.Equal(t, signal.Connection{Up: true, Why: tc.again}, b.connections[1])
		require.Len(t, came, 3)
		gone := came[0].At.Sub(off) - 300*time.Millisecond
		assert.GreaterOrEqual(t, gone, tc.from)
		assert.LessOrEqual(t, gone, tc.to)
		assert.Equal(t, signal.Retained, came[0].Kept)
		assert.LessOrEqual(t, b.awayFor(), time.Duration(0))

		b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOn, Result: record.Done})
		assert.Empty(t, b.pass(time.Minute), "not when mains comes back")
		b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
		b.Took(b.clock.Now(), record.Resumed{})
		assert.Empty(t, b.pass(time.Minute), "not of an earlier run")
		assert.LessOrEqual(t, b.awayFor(), time.Duration(0))
	}
}

func TestWhatCanBeEnergised(t *testing.T) {
	b := built(t, Options{})
	assert.True(t, b.CanEnergise(&site.Output{Address: "s"}))
	assert.False(t, b.CanEnergise(&site.Output{Name: "Sounder"}))
	assert.NoError(t, b.Energise(t.Context(), &site.Output{Address: "s"}, true))
}
