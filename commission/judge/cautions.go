package judge

import (
	"loopwitness/commission/site"
)

// Deferral is printed on every certificate.
const Deferral = "This certificate tells what was declared, operated and measured during one visit. It does not declare that the system " +
	"conforms to any standard. Local codes, the authority having jurisdiction, the insurer's conditions and licensed practice decide " +
	"what is required and who may do the work."

// SounderCaution is shown before a sounder is energised.
const SounderCaution = "A sounder can damage hearing within seconds at close range. Put hearing protection on, and make sure that nobody stands near it."

// MainsCaution is shown before mains is removed or restored.
const MainsCaution = "Only unplug the adapter or switch its outlet off. Opening or altering mains wiring is for licensed persons."

// Cautions are those that apply to what is fitted at the site.
func Cautions(s *site.Site) []string {
	out := []string{
		MainsCaution,
		"Use ladders on firm ground with a second person near; do not work at height alone.",
	}
	switch s.Supply.Battery.Chemistry {
	case "lead-acid":
		out = append(out, "A lead-acid battery delivers hundreds of amperes into a short circuit and gives off explosive gas while charging: insulate tools and terminals, ventilate, keep flames away, and dispose of it only where such batteries are accepted.")
	case "lithium-ion":
		out = append(out, "A lithium-ion battery can catch fire when shorted, punctured, overcharged or charged below freezing: use only the charger meant for it, keep its protection circuit, and dispose of it only where such batteries are accepted.")
	}
	if s.Sounder() != nil {
		out = append(out, SounderCaution)
	}
	if s.Monitoring.Centre != "" {
		out = append(out, "Signals reach a receiving centre: put the system on test before the first trial and off test after the last, or people may be sent.")
	}
	announce, life := false, false
	for i := range s.Zones {
		announce = announce || s.Zones[i].Kind.Trait().Announce
		life = life || s.Zones[i].Kind.Trait().LifeSafety
	}
	if announce {
		out = append(out, "Hold-up, fire and gas signals frighten people and may call help: announce them before they are tried.")
	}
	if life {
		out = append(out, "Fire, smoke and gas detectors protect life and follow the fire code: here only their signal is timed. Have them tested as that code asks by those whom it allows.")
	}
	return out
}
