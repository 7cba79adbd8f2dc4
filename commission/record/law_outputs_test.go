package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
)

const sounder = "outputs/Sounder"

var (
	soundsOn, soundsOff = switched("Sounder", true), switched("Sounder", false)
	level               = Reading{
		Step:     sounder,
		Quantity: LevelReading,
		Value:    98,
		Unit:     "dB",
		AsTyped:  "98 dB at 3 m",
		Distance: 3,
	}
	load = Reading{
		Step:     programme.IDAlarmLoad,
		Quantity: VoltageReading,
		Value:    12,
		Unit:     "V",
		AsTyped:  "12 V",
	}
)

func byHand(e Energised) Energised {
	e.By = SwitchedByHand
	return e
}

func stuckOn(output string) Energised {
	return Energised{Output: output, On: true, By: SwitchedByController, Failed: "not connected"}
}

func TestWhatAnOutputDoesIsSeenAfterItWasEnergised(t *testing.T) {
	works, fails := answer(sounder, Works), answer(sounder, Fails)
	heard := PartAnswer{Step: sounder, Question: sounder + "/observed", Text: "yes"}
	more := PartAnswer{Step: sounder, Question: sounder + "/level", Text: "98 dB"}
	elsewhere := answer("hand-over/codes", Done)
	holdsLaw(t, LawEnergisedFirst, []lawCase{
		{"works", []any{soundsOn, soundsOff, works}, false},
		{"by hand", []any{byHand(soundsOn), byHand(soundsOff), works}, false},
		{"on still", []any{soundsOn, works}, false},
		{"never", []any{works}, true},
		{"fails, never", []any{fails}, true},
		{"fails", []any{soundsOn, soundsOff, fails}, false},
		{"left out", []any{answer(sounder, LeftOut)}, false},
		{"only switched off", []any{soundsOff, works}, true},
		{"only told to have stuck", []any{stuckOn("Sounder"), works}, true},
		{"another", []any{switched("Chime", true), works}, true},
		{"for the load", []any{soundsOn, load, soundsOff, works}, true},
		{"with a signature between", []any{soundsOn, named(programme.IDTechnician, programme.Technician), works}, true},
		{"with a cue between", []any{soundsOn, Cue{Step: "walk/1.1", Half: Operate}, works}, true},
		{"with a meter between", []any{soundsOn, Instrument{Step: programme.IDVoltmeter, Name: "m"}, works}, true},
		{"with a note between", []any{soundsOn, noted(), works}, false},
		{"heard, and something else before it was answered", []any{soundsOn, heard, soundsOff, elsewhere, works}, false},
		{"another question", []any{soundsOn, more, soundsOff, elsewhere, works}, true},
		{"heard without having been on", []any{heard, works}, true},
		{"measured", []any{soundsOn, level, soundsOff, works}, false},
		{"answered once more", []any{soundsOn, soundsOff, works, Reopened{Step: sounder}, works}, true},
		{
			"energised once more",
			[]any{soundsOn, soundsOff, works, Reopened{Step: sounder}, soundsOn, soundsOff, works},
			false,
		},
		{"measured, never on", []any{level}, true},
		{"measured after a break", []any{soundsOn, heard, Resumed{}, overMQTT, soundsOff, elsewhere, level, works}, false},
	})
	assert.True(t, recordOf(t, soundsOn, soundsOff, works).Find(sounder).Energised())
	o := recordOf(t, soundsOn, time.Second, load, soundsOff, works).Find(sounder)
	assert.Equal(t, []any{false, time.Duration(0)}, []any{o.Energised(), o.On()}, "a certificate says no more than it was")
}

func TestNothingIsOnAtTheEnd(t *testing.T) {
	pause := Paused{By: StopByTechnician}
	done := story(concluded(t), []any{named(programme.IDTechnician, programme.Technician),
		named(programme.IDCustomer, programme.Customer)})
	holdsLaw(t, LawOffAtEnd, []lawCase{
		{"a visit that goes on", []any{soundsOn}, false},
		{"paused", []any{soundsOn, pause}, true},
		{"paused by an error", []any{soundsOn, Paused{By: StopByError}}, true},
		{"told to end", []any{soundsOn, Paused{By: StopAsked}}, false},
		{"off before", []any{soundsOn, soundsOff, pause}, false},
		{"off behind it", []any{soundsOn, pause, soundsOff}, false},
		{"stuck", []any{soundsOn, stuckOn("Sounder"), pause}, false},
		{"by hand", []any{byHand(soundsOn), pause}, false},
		{"another stuck", []any{soundsOn, switched("Chime", true), stuckOn("Chime"), pause}, true},
		{"resumed", []any{soundsOn, pause, Resumed{}, overMQTT}, false},
		{"broken off", []any{soundsOn, Resumed{}, overMQTT}, false},
		{"paused once, and on in the next run", []any{pause, Resumed{}, overMQTT, soundsOn}, false},
		{"complete", story([]any{soundsOn}, done), true},
		{"complete, and off", story([]any{soundsOn}, done, []any{soundsOff}), false},
	})
	r := recordOf(t, switched("Chime", true), soundsOn, pause)
	assert.Equal(t, []int{3, 4}, brokenBy(r, LawOffAtEnd))
}

func TestWhatIsSwitchedOffWasOn(t *testing.T) {
	const twice = 2*time.Minute + 33*time.Second
	holdsLaw(t, LawOnBeforeOff, []lawCase{
		{"on and off", []any{soundsOn, time.Second, soundsOff}, false},
		{"off", []any{soundsOff}, true},
		{"another was on", []any{switched("Chime", true), soundsOff}, true},
		{"twice, by the timer too", []any{soundsOn, time.Minute, soundsOff, twice, soundsOff}, false},
		{"twice, later", []any{soundsOn, time.Minute, soundsOff, twice + 1, soundsOff}, true},
		{"after a break", []any{soundsOn, Resumed{}, overMQTT, soundsOff}, false},
		{"off, a break, and off again", []any{soundsOn, soundsOff, Resumed{}, overMQTT, soundsOff}, true},
		{"on while on", []any{soundsOn, soundsOn}, false},
	})
}

func TestNothingIsOnForLong(t *testing.T) {
	const most = 3*time.Minute + 33*time.Second
	away := Absent{LastedNS: time.Second.Nanoseconds()}
	holdsLaw(t, LawNotLongOn, []lawCase{
		{"as long as may be", []any{soundsOn, most, soundsOff}, false},
		{"longer", []any{soundsOn, most + 1, soundsOff}, true},
		{"by hand", []any{byHand(soundsOn), time.Hour, byHand(soundsOff)}, false},
		{"stuck", []any{soundsOn, stuckOn("Sounder"), time.Hour, soundsOff}, false},
		{"over a break", []any{soundsOn, time.Hour, Resumed{}, overMQTT, time.Hour, soundsOff}, false},
		{"over an absence", []any{soundsOn, time.Hour, away, soundsOff}, false},
		{"after an absence", []any{time.Minute, away, time.Second, soundsOn, time.Hour, soundsOff}, true},
		{"twice short", []any{soundsOn, most, soundsOff, soundsOn, most, soundsOff}, false},
		{"off already", []any{soundsOn, soundsOff, time.Hour, soundsOff}, false},
		{"on still", []any{soundsOn, time.Hour, soundsOn}, false},
	})
	// A sounder that stops by itself after a quarter of an hour is waited for a tenth longer.
	const waited = 990*time.Second + 33*time.Second
	assert.Equal(t, 990*time.Second, WaitedFor(15*time.Minute))
	for on, want := range map[time.Duration]bool{waited: false, waited + 1: true} {
		change := mended(t, "{name: Sounder, kind: sounder, address: s}",
			"{name: Sounder, kind: sounder, address: s, cut_off: 15 min}")
		opened := Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: change.Site,
			Programme: change.Programme}
		r, err := told(t, opened, soundsOn, on, soundsOff)
		assert.NoError(t, err)
		assert.Equal(t, want, len(brokenBy(r, LawNotLongOn)) > 0, on)
	}
}

func TestLoadsAreOnWhenTheyAreRead(t *testing.T) {
	rest := load
	rest.Step = "supply/standby-1"
	holdsLaw(t, LawLoaded, []lawCase{
		{"on", []any{soundsOn, time.Second, load, soundsOff}, false},
		{"never on", []any{load}, true},
		{"at rest", []any{rest}, false},
		{"gone in the same moment", []any{soundsOn, time.Minute, soundsOff, 5 * time.Second, load}, false},
		{"gone before", []any{soundsOn, time.Minute, soundsOff, 5*time.Second + 1, load}, true},
		{"over a break", []any{soundsOn, soundsOff, Resumed{}, overMQTT, load}, true},
		{"another is on", []any{switched("Chime", true), load}, true},
		{"left out", []any{answer(programme.IDAlarmLoad, LeftOut)}, false},
	})
}
