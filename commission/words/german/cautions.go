package german

import "loopwitness/commission/judge"

var germanCautions = map[judge.Caution]string{
	judge.Deferral: "This certificate tells what was declared, operated and measured during one visit. It does not " +
		"declare that the system conforms to any standard. Local codes, the authority having jurisdiction, the insurer's " +
		"conditions and licensed practice decide what is required and who may do the work.",
	judge.CautionMains: "Only unplug the adapter or switch its outlet off. Opening or altering mains wiring is for " +
		"licensed persons.",
	judge.CautionBattery: germanBatteryCaution,
	judge.CautionSounder: "A sounder can damage hearing within seconds at close range. Put hearing protection on, and " +
		"make sure that nobody stands near it.",
	judge.CautionLadders: "Use ladders on firm ground with a second person near; do not work at height alone.",
	judge.CautionLeadAcid: "A lead-acid battery delivers hundreds of amperes into a short circuit and gives off " +
		"explosive gas while charging: insulate tools and terminals, ventilate, keep flames away, " +
		"and dispose of it only where such batteries are accepted.",
	judge.CautionLithiumIon: "A lithium-ion battery can catch fire when shorted, punctured, overcharged or " +
		"charged below freezing: use only the charger meant for it, keep its protection circuit, " +
		"and dispose of it only where such batteries are accepted.",
	judge.CautionMonitored: "Signals reach a receiving centre: put the system on test before the first trial and " +
		"off test after the last, or people may be sent.",
	judge.CautionAnnounce: "Hold-up, fire and gas signals frighten people and may call help: announce them before they " +
		"are tried.",
	judge.CautionLifeSafety: "Fire, smoke and gas detectors protect life and follow the fire code: here only their " +
		"signal is tried. Have them tested as that code asks by those whom it allows.",
}
