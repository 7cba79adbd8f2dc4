package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// sampling is a source that tells the voltage of the supply.
var sampling = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7, Sampled: true}

// sampledReading is what a visit writes of a sample.
func sampledReading(step, typed string, value float64) Reading {
	return Reading{Step: step, Quantity: VoltageReading, Value: value, Unit: "V", AsTyped: typed, Sampled: true}
}

// Samples keep when they were taken, and since when mains was removed.
func TestSamplesAreKept(t *testing.T) {
	r := recordOf(t, sampling, signal.Sample{Volt: 13.8, Raw: "13.8"}, time.Second, answer(programme.IDMainsOff, Done),
		2*time.Second, signal.Sample{Volt: 12.6})
	assert.Equal(t, []Sample{{At: at(0), Volt: 13.8},
		{At: at(3 * time.Second), Volt: 12.6, OffAt: at(time.Second), SinceOff: 2 * time.Second,
			SinceOffAtMost: 2 * time.Second}}, r.Samples())
	r.Samples()[0].Volt = 1
	assert.Equal(t, 13.8, r.Samples()[0].Volt, "nobody changes it from outside")
}

// The reading is due 6 s after mains was removed: the nearest sample counts, ten seconds
// away at most.
func TestTheSampleForAReading(t *testing.T) {
	const due = "supply/standby-2"
	type s = signal.Sample
	for name, tc := range map[string]struct {
		facts []any
		volt  float64 // 0 for none
	}{
		"none":                  {nil, 0},
		"at the very time":      {[]any{6 * time.Second, s{Volt: 12}}, 12},
		"ten seconds late":      {[]any{16 * time.Second, s{Volt: 12}}, 12},
		"later than that":       {[]any{16*time.Second + 1, s{Volt: 12}}, 0},
		"the nearer one before": {[]any{4 * time.Second, s{Volt: 11}, 5 * time.Second, s{Volt: 12}}, 11},
		"the nearer one after":  {[]any{time.Second, s{Volt: 11}, 6 * time.Second, s{Volt: 12}}, 12},
		"the first of two":      {[]any{5 * time.Second, s{Volt: 11}, 2 * time.Second, s{Volt: 12}}, 11},
	} {
		r := recordOf(t, append([]any{sampling, answer(programme.IDMainsOff, Done)}, tc.facts...)...)
		sample, found := r.SampleFor(r.Find(due).Step())
		assert.Equal(t, tc.volt != 0, found, name)
		assert.Equal(t, tc.volt, sample.Volt, name)
	}
}

// A sample stands for a reading without mains and without load only, and only for the
// time that mains is removed.
func TestWhatASampleStandsFor(t *testing.T) {
	off := []any{sampling, answer(programme.IDMainsOff, Done), signal.Sample{Volt: 12.6}}
	r := recordOf(t, off...)
	for step, stands := range map[string]bool{"supply/standby-1": true, "supply/standby-2": true,
		"supply/standby-3": false, programme.IDAlarmLoad: false, programme.IDMainsPresent: false,
		programme.IDStandbyCurrent: false, programme.IDMainsBack: false, programme.IDMainsOff: false, "walk/1.1": false, "supply/proof-1.1": false} {
		_, found := r.SampleFor(r.Find(step).Step())
		assert.Equal(t, stands, found, step)
	}
	r = recordOf(t, sampling, signal.Sample{Volt: 13.8})
	_, found := r.SampleFor(r.Find("supply/standby-1").Step())
	assert.False(t, found, "mains was never removed")
	r = recordOf(t, append(off, answer(programme.IDMainsOn, Done))...)
	_, found = r.SampleFor(r.Find("supply/standby-1").Step())
	assert.False(t, found, "mains is back")
	r = recordOf(t, append(off, answer(programme.IDMainsOn, Done), time.Second, Reopened{programme.IDMainsOff},
		answer(programme.IDMainsOff, Done))...)
	_, found = r.SampleFor(r.Find("supply/standby-1").Step())
	assert.False(t, found, "it was removed another time")
}

// A reading that was taken as sampled stands at the time of its sample.
func TestReadingsAsSampled(t *testing.T) {
	r := recordOf(t, sampling, answer(programme.IDMainsOff, Done), 3*time.Second, signal.Sample{Volt: 12.614},
		time.Second, signal.Sample{Volt: 12.598}, time.Minute, sampledReading("supply/standby-2", "12.61 V", 12.61))
	o := r.Find("supply/standby-2")
	require.True(t, o.Concluded())
	assert.Equal(t, Taken{Reading: sampledReading("supply/standby-2", "12.61 V", 12.61), Entry: o.Readings()[0].Entry, At: at(3 * time.Second),
		WhileOff: true, OffAt: at(0), SinceOff: 3 * time.Second, SinceOffAtMost: 3 * time.Second}, o.Readings()[0])
	assert.Equal(t, sampledReading("supply/standby-2", "12.60 V", 12.6), r.Samples()[1].Reading("supply/standby-2"))
}

// What nobody sampled is refused: samples of a controller that is not listened to for
// them, voltages that cannot be, and readings that no sample bears out.
func TestForgedSamplesAreRefused(t *testing.T) {
	sampled := []any{sampling, answer(programme.IDMainsOff, Done), signal.Sample{Volt: 12.61}}
	with := func(change func(*Reading)) []any {
		f := sampledReading("supply/standby-1", "12.61 V", 12.61)
		change(&f)
		return story(sampled, []any{f})
	}
	recordOf(t, with(func(*Reading) {})...)
	refuses(t, string(LawSampler), signal.Sample{Volt: 12})
	for _, volt := range []float64{-0.01, 100.01, 1e300} {
		refuses(t, "sampled: ", sampling, signal.Sample{Volt: volt})
	}
	for _, volt := range []float64{0, 100} {
		recordOf(t, sampling, signal.Sample{Volt: volt})
	}
	const none = "has no such sample"
	refuses(t, none, sampling, answer(programme.IDMainsOff, Done), sampledReading("supply/standby-1", "12.61 V", 12.61))
	refuses(t, none, with(func(f *Reading) { f.AsTyped, f.Value = "12.62 V", 12.62 })...)
	refuses(t, none, with(func(f *Reading) { f.AsTyped = "12610 mV" })...)
	refuses(t, none, with(func(f *Reading) { f.Uncertainty = 0.01 })...)
	refuses(t, none, with(func(f *Reading) { f.Instrument = "meter" })...)
	refuses(t, none, with(func(f *Reading) { f.Step = "supply/standby-3" })...)
	refuses(t, none, with(func(f *Reading) { f.Step = programme.IDAlarmLoad })...)
	refuses(t, none, with(func(f *Reading) { f.Step = programme.IDMainsPresent })...)
	refuses(t, none, with(func(f *Reading) {
		*f = decibels(90)
		f.Sampled = true
	})...)
}
