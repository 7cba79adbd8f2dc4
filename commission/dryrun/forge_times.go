package dryrun

import (
	"slices"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// timeForgeries are wrong about times, outputs, signals and trials.
var timeForgeries = slices.Concat(clockForgeries, orderForgeries, outputForgeries, signalForgeries, trialForgeries)

var (
	listenedToMQTT = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 50e6,
		Tells: signal.Aspects}
	pressedKeys = signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, UncertaintyNS: 250e6, ByHand: true}
)

// inEarnest lets a simulated visit look like a real one.
func (f *Forged) inEarnest() { f.heardBy(listenedToMQTT) }

// heardBy lets signals be received in another way, which tells only what it can.
func (f *Forged) heardBy(l signal.Listening) {
	if f.Put(f.Of("listening")[0], l); len(l.Tells) == 0 {
		f.Remove(f.Of("system")...)
	}
	for _, i := range f.Of("instrument") {
		Edit(f, i, func(m *record.Instrument) { m.Simulated = l.Simulated })
	}
}

// clock moves one entry in time, by both clocks.
func (f *Forged) clock(i int, by time.Duration) {
	f.Entries[i].At, f.Entries[i].Elapsed = f.Entries[i].At.Add(by), f.Entries[i].Elapsed+by
}

// last is the place of the last entry of a kind that has a value under a key.
func (f *Forged) last(kind, key string, value any) int {
	at := f.Where(kind, key, value)
	return at[len(at)-1]
}

// resume lets another run begin before an entry, so long after the one before.
func (f *Forged) resume(i int, after time.Duration) {
	f.Insert(i, after, record.Resumed{})
	begun := f.Entries[i-1].Elapsed
	f.Entries[i].Elapsed = begun
	for j := i; j < len(f.Entries); j++ {
		f.Entries[j].Run++
		f.Entries[j].Elapsed -= begun
		if j > i {
			f.Entries[j].At = f.Entries[j].At.Add(after)
		}
	}
	f.Insert(i+1, 0, listenedToMQTT)
}

// runsFrom numbers runs higher, from an entry on.
func (f *Forged) runsFrom(from, by int) {
	for i := from; i < len(f.Entries); i++ {
		f.Entries[i].Run += by
	}
}

var clockForgeries = []Forgery{
	{"the time of day stands still", record.LawClocksAgree, func(f *Forged) {
		for i := range f.Entries {
			f.Entries[i].At = f.Entries[0].At
		}
	}},
	{"an hour is put between two entries", record.LawClocksAgree, func(f *Forged) {
		for i := f.Of("ended")[0]; i < len(f.Entries); i++ {
			f.Entries[i].At = f.Entries[i].At.Add(time.Hour)
		}
	}},
	{"a time of day that drifts from entry to entry", record.LawClocksAgree, func(f *Forged) {
		for i := range f.Entries {
			f.Entries[i].At = f.Entries[i].At.Add(time.Duration(i) * 149 * time.Millisecond)
		}
	}},
	{"a visit that begins with run 7", record.LawRuns, func(f *Forged) { f.runsFrom(0, 6) }},
	{"a second run that is the fifth", record.LawRuns, func(f *Forged) {
		at := f.last("answer", "step", "hand-over/codes")
		f.resume(at, time.Minute)
		f.runsFrom(at, 3)
	}},
	{"a run that does not begin at zero", record.LawRunBegins, func(f *Forged) { f.Shift(0, time.Second) }},
	{"elapsed times that restart", record.LawHandsRise, func(f *Forged) {
		from := f.last("cue", "step", programme.IDRestart)
		f.Shift(from, -f.Entries[from].Elapsed)
	}},
	{"an answer that is earlier than the one before", record.LawHandsRise, func(f *Forged) {
		f.clock(f.last("answer", "step", "hand-over/codes"), -time.Millisecond)
	}},
	{"a signal from an hour ago", record.LawNotLong, func(f *Forged) {
		f.Insert(f.last("signed", "role", "technician"), -20*time.Minute,
			signal.Signal{Address: "z01", State: signal.Restored})
	}},
	{"the end of a wait before its cue", record.LawNotLong, func(f *Forged) { f.clock(f.Of("ended")[3], -time.Minute) }},
	{"time stands still over the visit", record.LawTimePasses, func(f *Forged) {
		f.inEarnest()
		f.Remove(f.Where("reading", "quantity", "cut-off")...)
		for i := range f.Entries {
			f.Entries[i].At, f.Entries[i].Elapsed = f.Entries[0].At, 0
		}
	}},
	{"a run that begins before the one before it ended", record.LawRunsFollow, func(f *Forged) {
		f.inEarnest()
		f.resume(f.last("answer", "step", "hand-over/codes"), -time.Hour)
	}},
	{"a visit that ends before it begins", record.LawEndsAfter, func(f *Forged) {
		f.inEarnest()
		f.resume(f.last("signed", "role", "technician"), -24*time.Hour)
	}},
	{"a visit that ends before it begins, by a step of nothing", record.LawEndsAfter, func(f *Forged) {
		f.inEarnest()
		for i := range f.Entries {
			f.Entries[i].At = f.Entries[0].At.Add(-f.Entries[i].Elapsed)
		}
	}},
	{"a clock that is said to have been set back, and was not", record.LawRunsFollow, func(f *Forged) {
		f.inEarnest()
		at := f.last("answer", "step", "hand-over/codes")
		f.resume(at, time.Minute)
		Edit(f, at, func(r *record.Resumed) { r.SetBackNS = time.Hour.Nanoseconds() })
	}},
	{"readings without mains all at once", record.LawDue, func(f *Forged) {
		for _, id := range []string{"supply/standby-2", "supply/standby-3", "supply/standby-4"} {
			at := f.last("reading", "step", id)
			f.Shift(at, f.Entries[at-1].Elapsed-f.Entries[at].Elapsed)
		}
	}},
	{"a reading some seconds before it was due", record.LawDue, func(f *Forged) {
		f.Shift(f.last("reading", "step", "supply/standby-4"), -3*time.Second)
	}},
	{"charging at once", record.LawDue, func(f *Forged) {
		reading := f.Entries[f.last("reading", "step", programme.IDCharging)]
		reading.At, reading.Elapsed = f.Entries[174].At, f.Entries[174].Elapsed
		f.Remove(f.last("reading", "step", programme.IDCharging))
		f.Entries = slices.Insert(f.Entries, f.last("reading", "step", programme.IDMainsBack)+1, reading)
	}},
	{"a hold in which the program did not run", record.LawDue, func(f *Forged) {
		f.Insert(f.last("reading", "step", "supply/standby-3"), 3*time.Minute,
			record.Absent{LastedNS: (3 * time.Minute).Nanoseconds()})
	}},
}

var orderForgeries = []Forgery{
	{"mains put back before it was removed", record.LawMainsInTurn, func(f *Forged) {
		f.Insert(f.last("answer", "step", programme.IDMainsOff), 0,
			record.Answer{Step: programme.IDMainsOn, Result: record.Done})
	}},
	{"a reading without mains before it was removed", record.LawMainsInTurn, func(f *Forged) {
		f.Remove(f.last("answer", "step", programme.IDMainsOff))
	}},
	{"a reading with mains back that was not put back", record.LawMainsInTurn, func(f *Forged) {
		f.Remove(f.last("answer", "step", programme.IDMainsOn))
	}},
	{"a signature before the visit", record.LawSignedLast, func(f *Forged) {
		signed := f.Entries[f.last("signed", "role", "technician")]
		f.Remove(f.Of("signed")...)
		first := f.Of("cue")[0]
		signed.At, signed.Elapsed = f.Entries[first].At, f.Entries[first].Elapsed
		f.Entries = slices.Insert(f.Entries, first, signed)
	}},
	{"a signature with a step left out", record.LawSignedLast, func(f *Forged) {
		f.Remove(f.last("answer", "step", "hand-over/codes"))
	}},
	{"a customer who signs before the technician", record.LawSignedInTurn, func(f *Forged) {
		at := f.Of("signed")
		f.Entries[at[0]], f.Entries[at[1]] = f.Entries[at[1]], f.Entries[at[0]]
	}},
	{"an answer behind the signatures", record.LawNothingBehind, func(f *Forged) {
		f.Entries = append(f.Entries, f.Entries[len(f.Entries)-1])
		f.Put(len(f.Entries)-1, record.Note{Step: "walk/1.1", Text: "all was well"})
	}},
	{"a trial behind the signatures", record.LawNothingBehind, func(f *Forged) {
		f.Entries = append(f.Entries, f.Entries[len(f.Entries)-1])
		f.Put(len(f.Entries)-1, record.Cue{Step: "walk/9.1", Half: record.Operate})
	}},
}

// energised are the places at which an output is switched.
func (f *Forged) energised(output string) (at []int) { return f.Where("energised", "output", output) }

var outputForgeries = []Forgery{
	{"an output that works and was never energised", record.LawEnergisedFirst, func(f *Forged) {
		f.Remove(f.energised("Strobe")...)
	}},
	{"an output that works and was on for the load alone", record.LawEnergisedFirst, func(f *Forged) {
		f.Remove(f.energised("Strobe")[2:]...)
	}},
	{"an output that was energised after it was answered", record.LawEnergisedFirst, func(f *Forged) {
		at := f.energised("Strobe")
		on := f.Entries[at[2]]
		off := f.Entries[at[3]]
		end := f.last("answer", "step", "outputs/Strobe")
		on.At, on.Elapsed, off.At, off.Elapsed = f.Entries[end].At, f.Entries[end].Elapsed, f.Entries[end].At,
			f.Entries[end].Elapsed
		f.Entries = slices.Insert(f.Entries, end+1, on, off)
		f.Remove(at[2:]...)
	}},
	{"a level of an output that was never on", record.LawEnergisedFirst, func(f *Forged) {
		f.Remove(f.energised("Sounder")...)
		f.Remove(f.Where("reading", "quantity", "cut-off")...)
	}},
	{"a sounder that is never switched off", record.LawOffAtEnd, func(f *Forged) {
		at := f.energised("Sounder")
		f.Remove(at[len(at)-1])
	}},
	{"a strobe that is on when the visit pauses", record.LawOffAtEnd, func(f *Forged) {
		at := f.energised("Strobe")
		f.Entries = f.Entries[:at[3]+1]
		f.Put(at[3], record.Paused{By: record.StopByTechnician})
	}},
	{"an output that is switched off before it was on", record.LawOnBeforeOff, func(f *Forged) {
		f.Insert(f.Of("cue")[0], 0, record.Energised{Output: "Sounder", By: record.SwitchedByController})
	}},
	{"an output that is switched off an hour after it was", record.LawOnBeforeOff, func(f *Forged) {
		f.Insert(f.last("answer", "step", "outputs/Strobe"), 0,
			record.Energised{Output: "Sounder", By: record.SwitchedByController})
		at := f.energised("Sounder")
		f.Shift(at[len(at)-1], time.Hour)
	}},
	{"a strobe that is on for an hour", record.LawNotLongOn, func(f *Forged) {
		at := f.energised("Strobe")
		f.Shift(at[len(at)-1], time.Hour)
	}},
	{"a sounder that is on for longer than its cut-off was waited for", record.LawNotLongOn, func(f *Forged) {
		at := f.energised("Sounder")
		f.Shift(at[len(at)-1], 3*time.Minute)
	}},
	{"readings under load before the load was on", record.LawLoaded, func(f *Forged) {
		f.Remove(f.energised("Sounder")[:2]...)
	}},
	{"a reading under load a minute after it went off", record.LawLoaded, func(f *Forged) {
		f.Insert(f.last("reading", "step", programme.IDAlarmLoad), 0,
			record.Energised{Output: "Strobe", By: record.SwitchedByController})
		f.Shift(f.last("reading", "step", programme.IDAlarmLoad), time.Minute)
	}},
}

var signalForgeries = []Forgery{
	{"no word of how signals are received", record.LawListensFirst, func(f *Forged) {
		f.Remove(append(f.Of("listening"), f.Of("system")...)...)
	}},
	{"signals before any word of how", record.LawListensFirst, func(f *Forged) {
		at := f.Of("listening")[0]
		f.Entries[at], f.Entries[at+1] = f.Entries[at+1], f.Entries[at]
	}},
	{"a run that never listened", record.LawListensFirst, func(f *Forged) {
		at := f.last("answer", "step", "hand-over/codes")
		f.resume(at, time.Minute)
		f.Remove(at + 1)
	}},
	{"signals by hand from a broker", record.LawWay, func(f *Forged) {
		l := listenedToMQTT
		l.ByHand = true
		f.heardBy(l)
	}},
	{"a broker timed by hand", record.LawWay, func(f *Forged) {
		l := listenedToMQTT
		l.TimedBy = signal.ByHand
		f.heardBy(l)
	}},
	{"simulated signals that are said to be real", record.LawWay, func(f *Forged) {
		l := listenedToMQTT
		l.Way = signal.Simulated
		f.heardBy(l)
	}},
	{"keys that sample the supply", record.LawWay, func(f *Forged) {
		l := pressedKeys
		l.Sampled = true
		f.Insert(f.Of("signed")[0], 0, l)
	}},
	{"times that are known exactly", record.LawUncertainty, func(f *Forged) {
		Edit(f, f.Of("listening")[0], func(l *signal.Listening) { l.UncertaintyNS = 0 })
	}},
	{"times that are known to a nanosecond", record.LawUncertainty, func(f *Forged) {
		Edit(f, f.Of("listening")[0], func(l *signal.Listening) { l.UncertaintyNS = 1 })
	}},
	{"keys as good as a computer", record.LawUncertainty, func(f *Forged) {
		l := pressedKeys
		l.UncertaintyNS = listenedToMQTT.UncertaintyNS
		f.Insert(f.Of("signed")[0], 0, l)
	}},
	{"a real source beside the simulated one", record.LawListensOnce, func(f *Forged) {
		f.Insert(f.last("cue", "step", "walk/2.1"), 0, listenedToMQTT)
	}},
	{"a real meter beside a simulated controller", record.LawSameMeter, func(f *Forged) {
		Edit(f, f.Of("instrument")[0], func(m *record.Instrument) { m.Simulated = false })
	}},
	{"a simulated meter beside a real controller", record.LawSameMeter, func(f *Forged) {
		f.Put(f.Of("listening")[0], listenedToMQTT)
	}},
	{"keys that a broker has kept", record.LawToldByWay, func(f *Forged) { f.heardBy(pressedKeys) }},
	{"keys for a cover", record.LawToldByWay, func(f *Forged) {
		f.heardBy(pressedKeys)
		f.Remove(f.Where("signal", "kept", "retained")...)
	}},
	{"keys that lose their connection", record.LawToldByWay, func(f *Forged) {
		f.Insert(f.Of("signed")[0], 0, pressedKeys)
		f.Insert(f.Of("signed")[0], 0, signal.Connection{Why: signal.Broken})
	}},
	{"keys that switch an output", record.LawToldByWay, func(f *Forged) {
		f.Insert(f.energised("Strobe")[2], 0, pressedKeys)
	}},
	{"samples of a controller that samples nothing", record.LawSampler, func(f *Forged) {
		f.Insert(f.last("reading", "step", "supply/standby-2"), 0, signal.Sample{Volt: 12.79})
	}},
	{"all signals while the connection is lost", record.LawHeardConnected, func(f *Forged) {
		f.Insert(f.Of("cue")[0], 0, signal.Connection{Why: signal.Broken, Detail: "EOF"})
	}},
	{"detectors operated while the connection is lost", record.LawCueConnected, func(f *Forged) {
		f.Insert(f.Of("cue")[0], 0, signal.Connection{Why: signal.Broken, Detail: "EOF"})
	}},
	{"a connection that is lost just before every cue", record.LawLostAtCues, func(f *Forged) {
		for _, i := range slices.Backward(f.Of("cue")) {
			f.Insert(i+1, 0, signal.Connection{Up: true})
			f.Insert(i, 0, signal.Connection{Why: signal.ControllerGone})
		}
	}},
	{"a report within a trial that is written behind the next", record.LawToldInTurn, func(f *Forged) {
		cue := f.last("cue", "step", "walk/1.1")
		f.Insert(f.Where("cue", "step", "walk/2.1")[0]+1, 0, signal.Signal{Address: "z02", State: signal.Active})
		at := f.Where("cue", "step", "walk/2.1")[0] + 1
		f.clock(at, f.Entries[cue].Elapsed+time.Millisecond-f.Entries[at].Elapsed)
	}},
	{"detectors operated while the controller is gone", record.LawCueConnected, func(f *Forged) {
		f.Insert(f.Of("cue")[0], 0, signal.Connection{Why: signal.ControllerGone})
	}},
}

// answerAfter moves the answer of the cue at a place, and what follows, to so long after it.
func (f *Forged) answerAfter(cue int, after time.Duration) {
	report := f.reportAfter(cue)
	f.Shift(report, f.Entries[cue].Elapsed+after-f.Entries[report].Elapsed)
}

// silentChime removes what the zone of the last chime that was heard reported on its trial, and
// is the place of that trial's end.
func (f *Forged) silentChime() int {
	end := f.last("ended", "by", "heard")
	next, _ := slices.BinarySearch(f.Of("cue"), end)
	cue := f.Of("cue")[next-1]
	var reports []int
	for _, i := range f.Where("signal", "state", "active") {
		if cue < i && i < end {
			reports = append(reports, i)
		}
	}
	f.Remove(reports...)
	return end - len(reports)
}

// cues are the places of the cues to operate detectors.
func (f *Forged) cues() []int { return f.Where("cue", "half", "operate") }

var trialForgeries = []Forgery{
	{"an answer one nanosecond after its cue", record.LawNotAtOnce, func(f *Forged) { f.answerAfter(f.cues()[0], 1) }},
	{"a restore one nanosecond after its cue", record.LawNotAtOnce, func(f *Forged) {
		f.inEarnest()
		f.answerAfter(f.Where("cue", "half", "restore")[0], 1)
	}},
	{"all answers after a millisecond", record.LawNotAllFast, func(f *Forged) {
		for _, cue := range f.cues() {
			if f.Entries[cue+1].Kind == "signal" {
				f.answerAfter(cue, time.Millisecond)
			}
		}
	}},
	{"a chime that is heard at once", record.LawPerson, func(f *Forged) {
		f.Shift(f.last("ended", "by", "heard"), -time.Second-400*time.Millisecond)
	}},
	{"keys pressed as fast as a computer", record.LawPerson, func(f *Forged) {
		f.heardBy(pressedKeys)
		f.Remove(f.Where("signal", "kept", "retained")...)
		f.answerAfter(f.cues()[0], 10*time.Millisecond)
		f.Entries = f.Entries[:f.cues()[1]]
	}},
	{"a controller that starts at once", record.LawRestarts, func(f *Forged) {
		f.answerAfter(f.last("cue", "step", programme.IDRestart), 0)
	}},
	{"a chime that is heard while its zone is silent", record.LawChimeFollows, func(f *Forged) {
		f.Shift(f.silentChime()+1, time.Minute) // it would have come by then
	}},
	{"a cue to who cannot be ready", record.LawReady, (*Forged).inEarnest},
	{"a silence that was not waited for", record.LawWaits, func(f *Forged) {
		f.Remove(f.cues()[0] + 1)
	}},
	{"a chime that was not waited for", record.LawWaits, func(f *Forged) {
		Edit(f, f.silentChime(), func(e *record.Ended) { e.By = record.ByTime })
	}},
	{"a restart that was not waited for", record.LawWaits, func(f *Forged) {
		f.Remove(f.reportAfter(f.last("cue", "step", programme.IDRestart)))
	}},
	{"a watch that is late for longer than it lasts", record.LawLateness, func(f *Forged) {
		end := f.cues()[0] + 2
		Edit(f, end, func(e *record.Ended) { e.LateNS = (20 * time.Millisecond).Nanoseconds() })
		f.Shift(end, f.Entries[end-2].Elapsed+10*time.Millisecond-f.Entries[end].Elapsed)
		f.clock(end-1, f.Entries[end].Elapsed-f.Entries[end-1].Elapsed)
	}},
}
