package judge

import (
	"loopwitness/checks"
	"loopwitness/commission/site"
)

// Caution is one that applies to the work.
type Caution string

// The cautions. Deferral is printed on every certificate: local codes and licensed
// practice decide.
const (
	Deferral          Caution = "deferral"
	CautionMains      Caution = "mains"   // before mains is removed or restored
	CautionBattery    Caution = "battery" // before a battery is disconnected or connected
	CautionSounder    Caution = "sounder" // before a sounder is energised
	CautionLadders    Caution = "ladders"
	CautionLeadAcid   Caution = "lead-acid"
	CautionLithiumIon Caution = "lithium-ion"
	CautionMonitored  Caution = "monitored"
	CautionAnnounce   Caution = "announce"
	CautionLifeSafety Caution = "life safety"
)

// Code names the caution.
func (c Caution) Code() string { return "caution/" + string(c) }

// cautionsOf are those that apply to what is fitted at the site.
func cautionsOf(s *site.Site) []Caution {
	out := []Caution{CautionMains, CautionLadders}
	switch checks.Chemistry(s.Supply.Battery.Chemistry) {
	case checks.LeadAcid:
		out = append(out, CautionLeadAcid)
	case checks.LithiumIon, checks.LithiumIronPhosphate:
		out = append(out, CautionLithiumIon)
	}
	if s.Sounder() != nil {
		out = append(out, CautionSounder)
	}
	if s.Monitoring.Centre != "" {
		out = append(out, CautionMonitored)
	}
	if len(s.ReusedZones()) > 0 {
		out = append(out, CautionCables)
	}
	announce, life := false, false
	s.Each(func(_ site.Point, _ *site.Zone, d *site.Detector) {
		announce = announce || d.Kind.Trait().Announce
		life = life || d.Kind.Trait().LifeSafety
	})
	if announce {
		out = append(out, CautionAnnounce)
	}
	if life {
		out = append(out, CautionLifeSafety)
	}
	return out
}
