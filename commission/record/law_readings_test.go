package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// broken are the laws that an honest beginning and some facts break.
func broken(t *testing.T, facts ...any) (laws []Law) {
	t.Helper()
	for _, b := range recordOf(t, facts...).Breaches() {
		laws = append(laws, b.Law)
	}
	return laws
}

// toldBy asserts which of some facts break a law, each behind what stands before them.
func toldBy(t *testing.T, law Law, before []any, breaks map[string]any, holds map[string]any) {
	t.Helper()
	for name, fact := range breaks {
		assert.Contains(t, broken(t, story(before, []any{fact})...), law, name)
	}
	for name, fact := range holds {
		assert.NotContains(t, broken(t, story(before, []any{fact})...), law, name)
	}
}

// refusedBy asserts that a law refuses a fact.
func refusedBy(t *testing.T, law Law, fact Fact, name string) {
	t.Helper()
	_, err := told(t, openedHonestly(t, asItIs), fact)
	var refused *Refusal
	require.ErrorAs(t, err, &refused, name)
	assert.Equal(t, law, refused.Law, name)
}

func voltsBy(name string, uncertainty float64) Reading {
	return Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading, Value: 13, Unit: "V", AsTyped: "13 V",
		Instrument: name, Uncertainty: uncertainty}
}

// A meter of ± 5 V beside readings of ± 0.05 V, and readings better than their meter.
func TestReadingsAreOfTheirInstrument(t *testing.T) {
	named := []any{Instrument{Step: programme.IDVoltmeter, Name: "meter 7", Uncertainty: 0.05}}
	current := Reading{Step: "outputs/Sounder", Quantity: CurrentReading, Value: 0.3, Unit: "A", AsTyped: "0.3 A"}
	toldBy(t, LawOneInstrument, named, map[string]any{
		"better": voltsBy("meter 7", 0.049), "worse": voltsBy("meter 7", 5), "exact": voltsBy("meter 7", 0),
		"another": voltsBy("meter 8", 0.05), "none": voltsBy("", 0.05),
		"a current of it":      with(current, func(f *Reading) { f.Instrument = "meter 7" }),
		"a current as certain": with(current, func(f *Reading) { f.Uncertainty = 0.05 }),
	}, map[string]any{"its own": voltsBy("meter 7", 0.05), "a current": current})
	toldBy(t, LawOneInstrument, nil, map[string]any{"nobody named one": voltsBy("meter 7", 0)},
		map[string]any{"nobody did": voltsBy("", 0)})
	toldBy(
		t,
		LawInstrumentFirst,
		nil,
		map[string]any{"not yet named": voltsBy("", 0)},
		map[string]any{"a current": current},
	)
	assert.NotContains(t, broken(t, append(named, voltsBy("meter 7", 0.05))...), LawInstrumentFirst)
	retest := openedHonestly(t, func(p []programme.Step) []programme.Step {
		return without(programme.StageSupply)(p)[:3]
	})
	r, err := told(t, retest)
	require.NoError(t, err)
	assert.False(t, r.beforeInstrument(voltsBy("", 0)), "a visit that names none")
}

func TestInstrumentsAreSome(t *testing.T) {
	of := func(change func(*Instrument)) Instrument {
		m := Instrument{Step: programme.IDVoltmeter, Name: "m", Calibrated: "2027-03-01", Uncertainty: 0.05}
		change(&m)
		return m
	}
	for name, change := range map[string]func(*Instrument){
		"no name": func(m *Instrument) { m.Name = "" }, "a blank": func(m *Instrument) { m.Name = "\u00a0" },
		"no day":        func(m *Instrument) { m.Calibrated = "in date" },
		"below nothing": func(m *Instrument) { m.Uncertainty = -1e-9 },
	} {
		refusedBy(t, LawInstrument, of(change), name)
	}
	recordOf(t, of(func(m *Instrument) { m.Calibrated, m.Uncertainty = "", 0 }))
}

func TestTimesAreTakenInAKnownWay(t *testing.T) {
	refusedBy(
		t,
		LawKnownCodes,
		signal.Listening{Way: signal.OverMQTT, TimedBy: "accredited laboratory, traceable"},
		"times",
	)
}

// Boundaries of what can be: each is no doubt, and what lies beyond it by a little is one.
func TestDoubtsAreAnswered(t *testing.T) {
	volt := func(text string, v float64) Reading {
		return Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading, Value: v, Unit: "V", AsTyped: text}
	}
	amps := func(text string, v float64) Reading {
		return Reading{Step: "outputs/Sounder", Quantity: CurrentReading, Value: v, Unit: "A", AsTyped: text}
	}
	loop := func(text string, v float64) Reading {
		return Reading{Step: "walk/1.1", Quantity: LoopReading, Value: v, Unit: "ohm", AsTyped: text, Open: text == "open"}
	}
	from := func(metres string, d float64) Reading {
		return with(decibels(96), func(f *Reading) { f.AsTyped, f.Distance = "96 dB at "+metres, d })
	}
	doubtful := map[string]any{"2.99 V": volt("2.99 V", 2.99), "16.01 V": volt("16.01 V", 16.01), "-1 V": volt("-1 V", -1),
		"0.9 mA": amps("0.9 mA", 0.0009), "0 A": amps("0 A", 0), "5.01 A": amps("5.01 A", 5.01),
		"10.1 Mohm": loop("10.1 Mohm", 10.1e6),
		"39 dB":     decibels(39), "131 dB": decibels(131), "9 cm": from("9 cm", 0.09), "31 m": from("31 m", 31)}
	usual := map[string]any{"3 V": volt("3 V", 3), "16 V": volt("16 V", 16), "0 V": volt("0 V", 0),
		"1 mA": amps("1 mA", 0.001), "5 A": amps("5 A", 5), "0 ohm": loop("0 ohm", 0), "10 Mohm": loop("10 Mohm", 10e6),
		"open": loop("open", 0), "40 dB": decibels(40), "130 dB": decibels(130), "10 cm": from("10 cm", 0.1),
		"30 m": from("30 m", 30)}
	toldBy(t, LawDoubts, nil, doubtful, usual)
	confirmed := func(all map[string]any) map[string]any {
		out := map[string]any{}
		for name, f := range all {
			out[name] = with(f.(Reading), func(f *Reading) { f.Confirmed = true })
		}
		return out
	}
	toldBy(t, LawDoubts, nil, confirmed(usual), confirmed(doubtful))
	stopped := Reading{Step: "outputs/Sounder", Quantity: CutOffReading, Value: 9, Unit: "s", AsTyped: "9 s"}
	assert.False(t, stopped.doubted(recordOf(t).Site()), "a time is bounded by how long it sounded")
}

// The cells of the battery, and what the site file lets be, bound what a voltage can be.
func TestVoltagesOfASite(t *testing.T) {
	for _, tc := range []struct {
		battery string
		upper   float64
		cells   bool
	}{{"", 16, false}, {", voltage: 12 V", 16.8, true}, {", voltage: 6 V", 8.4, true},
		{", voltage: 12 V, form: inline, efficiency: 90 %, output: 12 V", 16, false}} {
		text := strings.Replace(honestSite, "chemistry: lead-acid", "chemistry: lead-acid"+tc.battery, 1)
		require.True(t, tc.battery == "" || text != honestSite, "the site has a battery")
		s := readSite(t, text)
		s.Limits.MainsUpper.SI = 0
		can, ofCells := SupplyVolts(s)
		assert.InDelta(t, tc.upper, can.Upper, 1e-9, tc.battery)
		assert.Equal(t, tc.cells, ofCells, tc.battery)
		s.Limits.MainsUpper.SI = 29
		can, _ = SupplyVolts(s)
		assert.Equal(t, 29.0, can.Upper)
	}
}
