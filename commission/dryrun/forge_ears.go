package dryrun

import (
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// overHTTP is the second of two ears.
var overHTTP = signal.Listening{Way: signal.OverHook, TimedBy: signal.ByComputer, UncertaintyNS: 50e6}

// heardByTwo lets signals be received by two ears: a broker's, and of some addresses by web hooks.
func (f *Forged) heardByTwo(byHook ...string) {
	f.inEarnest()
	hooked := map[string]bool{}
	for _, address := range byHook {
		hooked[address] = true
	}
	mqtt, hook := listenedToMQTT, overHTTP
	hook.Addresses = byHook
	seen := map[string]bool{}
	for _, i := range f.Of("signal") {
		Edit(f, i, func(s *signal.Signal) {
			if s.Ear = signal.OverMQTT; hooked[s.Address] {
				s.Ear = signal.OverHook
			} else if !seen[s.Address] {
				seen[s.Address] = true
				mqtt.Addresses = append(mqtt.Addresses, s.Address)
			}
		})
	}
	for _, i := range f.Of("system") {
		Edit(f, i, func(s *signal.System) { s.Ear = signal.OverMQTT })
	}
	for _, i := range f.Of("connection") {
		Edit(f, i, func(c *signal.Connection) { c.Ear = signal.OverMQTT })
	}
	f.Put(f.Of("listening")[0], signal.Together([]signal.Listening{mqtt, hook}))
}

var earForgeries = []Forgery{
	{"a signal by an ear on which nobody listens", record.LawEars, func(f *Forged) {
		f.heardByTwo("z01")
		Edit(f, f.Of("signal")[9], func(s *signal.Signal) { s.Ear = signal.ByPolling })
	}},
	{"a signal by none of two ears", record.LawEars, func(f *Forged) {
		f.heardByTwo("z01")
		Edit(f, f.Of("signal")[9], func(s *signal.Signal) { s.Ear = "" })
	}},
	{"a signal by an ear where there is one source", record.LawEars, func(f *Forged) {
		f.inEarnest()
		Edit(f, f.Of("signal")[9], func(s *signal.Signal) { s.Ear = signal.OverMQTT })
	}},
	{"what only the other ear can tell", record.LawEars, func(f *Forged) {
		f.heardByTwo("z01")
		Edit(f, f.Of("system")[0], func(s *signal.System) { s.Ear = signal.OverHook })
	}},
	{"two ears that know times better than each", record.LawUncertainty, func(f *Forged) {
		f.heardByTwo("z01")
		Edit(f, f.Of("listening")[0], func(l *signal.Listening) { l.UncertaintyNS = 25e6 })
	}},
	{"an ear that is simulated beside a real one", record.LawWay, func(f *Forged) {
		f.heardByTwo("z01")
		Edit(f, f.Of("listening")[0], func(l *signal.Listening) { l.Ears[1].Simulated = true })
	}},
}
