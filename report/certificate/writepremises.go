package certificate

import (
	"loopwitness/commission/words"
)

func (w writer) premises() Section {
	s := w.r.Site()
	var p Pairs
	detail := func(kind words.DetailKind, text string) words.Phrase { return words.Detail{Kind: kind, Text: text} }
	add := func(label words.Label, own []words.Phrase, more ...words.Phrase) {
		w.pair(&p, label, w.commas(append(own, more...)...))
	}
	add(words.PremisesLabel, typed(s.Premises.Name, s.Premises.Address))
	add(words.CustomerLabel, typed(s.Customer.Name, s.Customer.Contact))
	w.pair(&p, words.UseLabel, w.semicolons(typed(s.Premises.Use, s.Premises.Part)...))
	add(words.InstallerLabel, typed(s.Installer.Company, s.Installer.Address, s.Installer.Phone),
		detail(words.LicenceDetail, s.Installer.Licence))
	add(words.DeclaredLabel, typed(s.Declared.Standard), detail(words.GradeDetail, s.Declared.Grade),
		detail(words.ClassDetail, s.Declared.Class))
	w.pair(&p, words.DeparturesLabel, s.Declared.Departures)
	add(words.MonitoringLabel, typed(s.Monitoring.Centre), detail(words.AccountDetail, s.Monitoring.Account),
		words.Named(s.Monitoring.Path))
	w.pair(&p, words.InsurerLabel, s.Insurer)
	w.further(&p)
	blocks := []Block{p}
	if s.Declared.Standard+s.Declared.Grade+s.Declared.Class != "" {
		blocks = append(blocks, w.quiet(words.DeclaredNote))
	}
	return w.section(words.PremisesHeading, blocks...)
}

// system is controller and supply, as declared.
func (w writer) system() Section {
	var p Pairs
	w.fitted(&p)
	c := w.r.Site().Controller
	detail := func(kind words.DetailKind, text string) words.Phrase { return words.Detail{Kind: kind, Text: text} }
	w.pair(&p, words.ControllerLabel, w.commas(append(typed(c.Description, c.Location, c.Software, c.Connection),
		detail(words.DrawsDetail, c.Current.Text), detail(words.ForDetectors, c.DetectorOutput.Text),
		detail(words.ForSounders, c.AlarmOutput.Text))...))
	w.supplyPairs(&p)
	w.siteFile(&p)
	return w.section(words.SystemHeading, p)
}

// supplyPairs are adapter, charger, battery, what is required of them, and what else they
// feed, as declared.
func (w writer) supplyPairs(p *Pairs) {
	s := w.r.Site().Supply
	add := func(label words.Label, of ...words.Phrase) { w.pair(p, label, w.commas(of...)) }
	detail := func(kind words.DetailKind, text string) words.Phrase { return words.Detail{Kind: kind, Text: text} }
	a, b := s.Adapter, s.Battery
	add(words.AdapterLabel, append(measured(a.Rating.Text, a.Apparent.Text, a.Voltage.Text), words.Named(a.Location),
		detail(words.FuseDetail, a.Fuse), detail(words.CircuitDetail, a.Circuit))...)
	battery := []words.Phrase{words.Chemistry(b.Chemistry)}
	if s.HasBattery() {
		battery = append(battery, words.BatteryForm(b.Form))
	}
	if b.Cells > 0 {
		battery = append(battery, words.CellCount{N: b.Cells})
	}
	add(words.BatteryLabel, append(battery, words.Measured(b.Capacity.Text), words.Measured(b.Energy.Text),
		detail(words.RateDetail, b.HourRating.Text), detail(words.FittedDetail, b.Fitted), words.Named(b.Location))...)
	add(words.ChargerLabel, measured(s.Charger.Voltage.Text, s.Charger.Current.Text)...)
	add(words.StandbyLabel, words.Measured(s.Standby.For.Text), detail(words.AlarmForDetail, s.Standby.AlarmFor.Text),
		words.Named(s.Standby.Source))
	add(
		words.RechargeLabel,
		detail(words.WithinDetail, s.Recharge.Within.Text),
		detail(words.ToDetail, s.Recharge.To.Text),
		words.Named(s.Recharge.Source),
	)
	var loads []words.Phrase
	for _, l := range s.Loads {
		loads = append(loads, words.List{By: words.Commas, Of: []words.Phrase{words.Named(l.Name),
			detail(words.DrawsDetail, l.Current.Text), detail(words.InAlarmDetail, l.Alarm.Text)}})
	}
	w.pair(p, words.LoadsLabel, w.semicolons(loads...))
}
