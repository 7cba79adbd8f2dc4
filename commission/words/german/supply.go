package german

import (
	"loopwitness/commission/site"
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// aboutSupply names the rows of the supply.
func aboutSupply(r judge.Row) (string, bool) {
	switch r := r.(type) {
	case judge.AdapterRow:
		return "Netzteil", true
	case judge.OutputLimitRow:
		return germanTerminals[r.Which], true
	case judge.ChargerRow:
		return "Ladegerät und Akku, wie angegeben", true
	case judge.RechargeRow:
		return "Nachladen", true
	case judge.StandbyRow:
		return "Akku für Notbetrieb", true
	case judge.EnergyRow:
		return "Akkupack für Notbetrieb", true
	case judge.ChargingRow:
		return "Laden des Akkus", true
	case judge.InternalRow:
		return "Widerstand der Versorgung im Notbetrieb", true
	case judge.SagRow:
		return "Erprobung ohne Netz", true
	case judge.SystemCurrentRow:
		if r.Alarm {
			return "Strom der ganzen Anlage bei Alarm", true
		}
		return "Strom der ganzen Anlage im Notbetrieb", true
	case judge.FarRow:
		if r.Detector.Name == "" {
			return "Spannung am entferntesten Melder bei Alarm", true
		}
		return "Spannung bei Alarm an " + briefly(r.Detector), true
	case judge.AgeRow:
		return "Alter des Akkus", true
	}
	return "", false
}

var germanTerminals = map[judge.Terminal]string{
	judge.DetectorOutput: "Versorgungsausgang für Melder",
	judge.AlarmOutput:    "Ausgänge für Sirenen und Blitzleuchten",
}

// supplyFormula says how a row of the supply is computed.
func supplyFormula(r judge.Row) string {
	switch r.(type) {
	case judge.AdapterRow:
		return "was es liefert gegen den größeren Wert aus Notbetrieb + Ladegerät und Alarm; bei Wechselstrom sicher 0,55 " +
			"von VA/V, und nicht mehr Watt als VA"
	case judge.OutputLimitRow:
		return "Summe der angegebenen Ströme"
	case judge.ChargerRow:
		return "Spannung je Zelle gegen die Ladegrenzen ihrer Chemie; Strom gegen die Kapazität"
	case judge.RechargeRow:
		return "t = Anteil × C × 1,1 / I: 110 % des Entnommenen werden zurückgeladen; Hauptladephase"
	case judge.StandbyRow:
		return "C = Σ I·t × Alterung × Temperatur; über dem Nennstrom nach dem Gesetz von Peukert, darunter nie mehr als C/I"
	case judge.EnergyRow:
		return "E = Σ I·t × V × Alterung × Temperatur / Wirkungsgrad"
	case judge.ChargingRow:
		return "alle Spannungen bei vorhandenem Netz zusammen, bei 20 bis 25 °C, gegen veröffentlichte Ladespannungen je " +
			"Zelle"
	case judge.InternalRow:
		return "R = (U1 − U2)/(I2 − I1), mit Leitungen und Sicherung darin"
	case judge.SagRow:
		return "ein kurzer Versuch kann einen schlechten Akku zeigen; seine Kapazität zeigt er nie"
	case judge.SystemCurrentRow:
		return "gemessen gegen die Summe des Angegebenen; oben gilt das Gemessene"
	case judge.FarRow:
		return "gemessen mit allem eingeschaltet, was ertönt, und Netz weg"
	}
	return "Tag des Termins − Tag des Einbaus"
}

// ofSupplyRow says inputs, result and limit of a row of the supply.
func (l Language) ofSupplyRow(row *words.Row, c judge.Computed) bool {
	switch r := c.Row.(type) {
	case judge.AdapterRow:
		l.adapter(row, r, c.Ruling)
	case judge.OutputLimitRow:
		row.Inputs, row.Result, row.Limit = "alle angegebenen Ströme", milli(r.Load), "höchstens "+l.quantity(r.Most)+", Objektdatei"
		if c.Ruling == checks.Fail {
			row.Change = "einen Teil davon aus einer eigenen Versorgung speisen"
		}
	case judge.ChargerRow:
		l.charger(row, r, c)
	case judge.RechargeRow:
		l.recharge(row, r, c.Ruling)
	case judge.StandbyRow:
		l.standby(row, r, c)
	case judge.EnergyRow:
		l.energy(row, r, c)
	case judge.ChargingRow:
		l.charging(row, r, c)
	case judge.InternalRow:
		l.internal(row, r, c.Ruling)
	case judge.SagRow:
		l.sag(row, r, c.Ruling)
	case judge.SystemCurrentRow:
		l.systemCurrent(row, r, c.Ruling)
	case judge.FarRow:
		row.Inputs = "gemessen " + l.Number(r.Volt, 2) + " V " + plusMinus(r.Uncertainty, "V")
		row.Result, row.Limit = l.Number(r.Volt, 2)+" V", "mindestens "+l.quantity(r.Minimum)+", sein Mindestwert"
	case judge.AgeRow:
		l.age(row, r, c.Ruling)
	default:
		return false
	}
	return true
}

func (l Language) adapter(row *words.Row, r judge.AdapterRow, v checks.Ruling) {
	charger := "Ladegerät nicht angegeben"
	if r.Charge > 0 {
		charger = "Ladegerät " + milli(r.Charge)
	}
	row.Inputs = fmt.Sprintf("Notbetrieb %s, Alarm %s, %s, Netzteil %s", milli(r.Standby), milli(r.Alarm), charger,
		l.quantity(r.Rating))
	row.Result, row.Limit = milli(r.Need)+" nötig", "höchstens "+milli(r.Least)
	if r.Most > r.Least {
		row.Limit += " bis " + milli(r.Most)
	}
	switch v {
	case checks.Fail:
		row.Change = "Netzteil von mindestens " + l.Number(math.Ceil(r.Need*10)/10, 1) + " A einbauen"
	case checks.Undecided:
		if r.Need > r.Least {
			row.Change = "der Akku muss bei Alarm mithelfen oder lädt langsamer; prüfen, ob das so gewollt ist"
		}
	}
}

var germanReasons = map[checks.ChargeReason]string{
	checks.AboveEveryCharge:  "über jeder veröffentlichten Ladegrenze: Gefahr von Brand oder Bersten",
	checks.AboveUsualCharge:  "über der üblichen Ladegrenze",
	checks.NeverCharged:      "zu niedrig: ein Akku aus diesen Zellen wird nie geladen",
	checks.BelowEveryFloat:   "unter jeder veröffentlichten Erhaltungsspannung: nicht geladen",
	checks.NotFull:           "unter der üblichen Erhaltungsspannung: nicht voll oder nicht geladen",
	checks.Boost:             "eine Starkladespannung: richtig für Stunden, falsch für Wochen",
	checks.TooCold:           "Laden unter 0 °C zerstört die Zellen",
	checks.TooHot:            "zu heiß zum Laden",
	checks.FloatDisputed:     "wie geladen; ob er so jahrelang liegen darf, ist strittig",
	checks.WithinUncertainty: "zu nahe an einer Grenze, um zu entscheiden",
}

var germanChemistries = map[string]string{
	site.None:               "keiner",
	string(checks.LeadAcid): "Blei", string(checks.LithiumIon): "Lithium-Ionen",
	string(checks.LithiumIronPhosphate): "Lithium-Eisenphosphat",
}

// germanChemistry is the kind of a battery; one that is not known stands as the site file has it.
func germanChemistry(name string) string { return cmp.Or(germanChemistries[name], name) }

// charge says what a charging voltage means.
func (l Language) charge(c judge.Charge) string {
	text := l.Number(c.PerCell, 2) + " V je Zelle"
	if why := germanReasons[c.Reason]; why != "" {
		text += ", " + why
	}
	return text
}

// chargeWindow says between what a charging voltage holds.
func (l Language) chargeWindow(c judge.Charge) string {
	if c.Upper == 0 {
		return "keine Ladespannung ist zulässig"
	}
	text := fmt.Sprintf("%s V bis %s V, veröffentlicht", l.Number(c.Lower, 2), l.Number(c.Upper, 2))
	if c.Highest > 0 {
		text += "; über " + l.Number(c.Highest, 2) + " V Gefahr"
	}
	return text
}

// stopCharging is the first thing to do where a battery may burn.
const stopCharging = "Laden beenden: Akku abklemmen, und Ladegerät und Akku einbauen, die zusammengehören"

// actNow is what to do about a danger. One by a number of cells that nobody declared may be
// none.
func actNow(c judge.Computed) string {
	if c.Ruling == checks.Undecided {
		return "angeben, wie viele Zellen der Akku hat; sind es nicht mehr als üblich: " + stopCharging
	}
	return stopCharging
}

func (l Language) charger(row *words.Row, r judge.ChargerRow, c judge.Computed) {
	of := "Ladegerät"
	if r.OfAdapter {
		of = "Netzteil, da kein Ladegerät beschrieben ist"
	}
	row.Inputs = fmt.Sprintf("%s V (%s), %s, %s", l.Number(r.Volt, words.AsNeeded), of, count(r.Cells, "Zelle", "Zellen"),
		germanChemistry(r.Chemistry))
	row.Result, row.Limit = l.charge(r.Charge), l.chargeWindow(r.Charge)
	if r.Ampere > 0 && r.MostAmpere > 0 {
		row.Inputs += ", " + milli(r.Ampere)
		row.Limit += "; Strom bis " + milli(r.MostAmpere)
	}
	switch {
	case c.Danger:
		row.Change = actNow(c)
	case r.RuinAmpere > 0:
		row.Change = "mit höchstens " + milli(r.RuinAmpere) + " laden oder mit dem, was der Hersteller erlaubt"
	case c.Ruling == checks.Fail:
		row.Change = "Akku einbauen, für den dieses Ladegerät und diese Zentrale gebaut sind"
	case r.Ampere > r.MostAmpere && r.MostAmpere > 0:
		row.Change = "nachsehen, welchen Ladestrom der Hersteller erlaubt"
	}
}

func (l Language) recharge(row *words.Row, r judge.RechargeRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s auf %s, Ladegerät %s", l.quantity(r.Capacity), assumedPercent(r.To), milli(r.Ampere))
	row.Result, row.Limit = l.Number(r.Hours, 1)+" h", "innerhalb von "+l.quantity(r.Within)
	if r.Source != "" {
		row.Limit += "; nach: " + named(r.Source)
	}
	if v == checks.Fail {
		row.Change = "stärkeres Ladegerät oder kleineren Akku einbauen"
	}
}

func assumedPercent(a judge.Assumable) string {
	return assumed(judge.Assumable{Value: math.Round(a.Value * 100), Assumed: a.Assumed}, " %")
}

// tried says that standby is computed, not tried.
// currents says which of them were measured; where none was, all are declared.
func (l Language) currents(r judge.Loads) string {
	text := fmt.Sprintf("%s für %s, dann %s für %s", milli(r.Standby), l.quantity(r.For), milli(r.Alarm),
		orDash(l.quantity(r.AlarmFor)))
	switch {
	case r.Measured && r.Added:
		return text + " (gemessen; bei Alarm zuzüglich der angegebenen Ströme der Ausgänge, die nicht nachweislich " +
			"arbeiteten)"
	case r.Added:
		return text + " (im Notbetrieb angegeben; bei Alarm gemessen, zuzüglich der angegebenen Ströme der " +
			"Ausgänge, die nicht nachweislich arbeiteten)"
	case r.Measured && r.AlarmMeasured:
		return text + " (gemessen)"
	case r.Measured:
		return text + " (im Notbetrieb gemessen, bei Alarm angegeben)"
	case r.AlarmMeasured:
		return text + " (im Notbetrieb angegeben, bei Alarm gemessen)"
	}
	return text
}

func (l Language) standby(row *words.Row, r judge.StandbyRow, c judge.Computed) {
	row.Inputs = fmt.Sprintf("%s; Alterung %s, Temperatur %s (Faktor %s bis %s), Exponent %s, Nennentladezeit %s",
		l.currents(r.Loads), assumed(r.Ageing, ""),
		assumed(r.Temperature, " °C"), l.short(r.ColdLeast), l.short(r.Cold), assumed(r.Exponent, ""), assumed(r.Rate, " h"))
	if r.Autonomy != nil {
		row.Inputs += "; neu und voll trägt er die Last im Notbetrieb " + l.Number(*r.Autonomy, 1) + " h"
	}
	row.Result = fmt.Sprintf("%s Ah nötig, %s eingebaut", l.Number(r.Required, 2), l.quantity(r.Fitted))
	row.Limit = by("eingebaute Kapazität", r.Source)
	switch c.Ruling {
	case checks.Undecided:
		if len(c.Assumed) == 0 {
			row.Change = fmt.Sprintf("%s Ah genügen bei den günstigsten Werten; um sicher zu sein, mindestens %s Ah einbauen",
				l.Number(r.Declared, 2), l.Number(math.Ceil(r.Required*10)/10, 1))
		}
	case checks.Fail:
		row.Change = "Akku von mindestens " + l.Number(math.Ceil(r.Required*10)/10, 1) +
			" Ah einbauen oder weniger Strom entnehmen"
	}
}

func (l Language) energy(row *words.Row, r judge.EnergyRow, c judge.Computed) {
	row.Inputs = fmt.Sprintf("%s bei %s; Wirkungsgrad %s, Alterung %s, Temperatur %s (Faktor %s bis %s)",
		l.currents(r.Loads), assumed(r.Output, " V"), assumed(r.Efficiency, ""),
		assumed(r.Ageing, ""), assumed(r.Temperature, " °C"), l.short(r.ColdLeast), l.short(r.Cold))
	if r.Autonomy != nil {
		row.Inputs += "; neu und voll trägt er die Last im Notbetrieb " + l.Number(*r.Autonomy, 1) + " h"
	}
	row.Result = fmt.Sprintf("%s Wh nötig, %s Wh eingebaut", l.Number(r.Required, 1), l.Number(r.Energy, words.AsNeeded))
	row.Limit = by("eingebaute Energie", r.Source)
	if c.Ruling == checks.Fail || c.Ruling == checks.Undecided && len(c.Assumed) == 0 {
		row.Change = "Akkupack von mindestens " + l.Number(math.Ceil(r.Required), 0) +
			" Wh einbauen oder weniger Strom entnehmen"
	}
}

func by(limit, source string) string {
	if source == "" {
		return limit
	}
	return limit + "; Angabe des Errichters: " + named(source)
}

func (l Language) short(x float64) string { return l.Number(math.Round(x*1000)/1000, words.AsNeeded) }

var germanCharged = map[record.Result]string{
	record.Yes: "ohne Unterbrechung geladen", record.No: "vorher nicht durchgehend geladen",
}

func (l Language) charging(row *words.Row, r judge.ChargingRow, c judge.Computed) {
	var volts []string
	worst := judge.ChargingReading{}
	for _, reading := range r.Readings {
		volts = append(volts, l.Number(reading.Volt, 2)+" V")
		if worst.Step == "" || graver(reading.Verdict, worst.Verdict) {
			worst = reading
		}
	}
	row.Inputs = fmt.Sprintf(
		"%s, %s; %s",
		germanChemistry(r.Chemistry),
		count(r.Cells, "Zelle", "Zellen"),
		strings.Join(volts, ", "),
	)
	if how := germanCharged[r.Charged]; how != "" {
		row.Inputs += "; " + how
	}
	switch row.Limit = l.chargeWindow(worst.Charge); {
	case c.Ruling == checks.Pass, c.Ruling == checks.Undecided && len(c.Assumed) > 0 && !graverThanHolds(worst):
		row.Result = "wird geladen"
		if r.Rose {
			row.Result += ": nach Rückkehr des Netzes stieg die Spannung über das, was ein Akku von sich aus hat"
		}
	default:
		row.Result = l.charge(worst.Charge)
	}
	switch {
	case c.Danger:
		row.Change = actNow(c)
	case c.Ruling == checks.Fail:
		row.Change = "prüfen, ob das Ladegerät arbeitet und zu diesem Akku gehört"
	case c.Ruling == checks.Undecided && graverThanHolds(worst):
		row.Change = "noch einmal ablesen, wenn der Akku einen Tag lang geladen wurde"
	}
}

func graverThanHolds(r judge.ChargingReading) bool { return r.Verdict != checks.ChargeHolds }

// graver tells whether a verdict on charging is worse than another.
func graver(a, than checks.ChargeVerdict) bool {
	rank := map[checks.ChargeVerdict]int{checks.ChargeDanger: 3, checks.ChargeFault: 2, checks.ChargeUndecided: 1}
	return rank[a] > rank[than]
}

func (l Language) internal(row *words.Row, r judge.InternalRow, v checks.Ruling) {
	from := "Objektdatei"
	if r.Measured {
		from = "gemessen"
	}
	row.Inputs = fmt.Sprintf(
		"%s V, dann %s V mit %s mehr (%s)",
		l.Number(r.Rest, 2),
		l.Number(r.Load, 2),
		milli(r.More),
		from,
	)
	row.Result = l.Number(r.Ohm, 2) + " Ω " + plusMinus(r.Uncertainty, "Ω")
	if r.Ohm <= r.Uncertainty && r.Uncertainty > 0 {
		row.Result += ", mit diesem Voltmeter nicht von null zu unterscheiden"
		row.Limit = "zu unsicher für einen ersten Wert"
		if r.First == "" {
			return
		}
	}
	if r.First == "" {
		row.Limit = "der erste Wert: in die Objektdatei schreiben"
		return
	}
	row.Limit = "üblich bis zum 1,3-Fachen seines ersten Werts von " + l.quantity(r.First)
	if r.FirstAt != "" {
		row.Limit += " beim Termin " + r.FirstAt
	}
	if v == checks.Fail {
		row.Change = "Akku erneuern und Leitungen, Sicherung und Klemmen ansehen"
	}
}

func (l Language) sag(row *words.Row, r judge.SagRow, v checks.Ruling) {
	tried := l.Duration(r.Tried.Round(time.Second))
	row.Inputs = fmt.Sprintf("%s, %s V bis %s V %s", count(r.Readings, "Spannung", "Spannungen"), l.Number(r.From, 2),
		l.Number(r.To, 2), plusMinus(r.Uncertainty, "V"))
	if r.Ampere > 0 {
		row.Inputs += ", " + milli(r.Ampere)
	}
	row.Result = tried + " erprobt"
	if r.Required != "" {
		row.Result = l.quantity(r.Required) + " nötig, " + row.Result
	}
	switch {
	case r.Converter:
		row.Result += "; der Ausgang hielt"
		row.Limit = "Spannung des Wandlers: vom Akku zeigt sich darin nichts"
	default:
		row.Limit = "kein Zeichen eines schlechten Akkus nach 10 min oder mehr"
	}
	switch {
	case v == checks.Fail:
		row.Result += ": fällt, wie es kein guter Akku tut"
		row.Change = "Akku erneuern"
	case r.Charging:
		row.Result += ": höher, als ein Akku ohne Ladegerät steht"
		row.Change = "prüfen, ob das Netz überhaupt weg war, und noch einmal ablesen"
	case r.Short:
		row.Change = "Netz mindestens 10 min weglassen"
	case v == checks.Undecided:
		row.Change = "seine Kapazität durch eine Entladeprüfung nachweisen oder ihn erneuern"
	}
}

func (l Language) systemCurrent(row *words.Row, r judge.SystemCurrentRow, v checks.Ruling) {
	row.Inputs, row.Result = "angegeben "+milli(r.Declared), milli(r.Measured)
	if !r.Known {
		row.Inputs = "nicht alle Teile sind angegeben"
		return
	}
	row.Limit = "höchstens " + milli(r.Declared) + ", Objektdatei"
	if v != checks.Pass {
		row.Change = "Objektdatei berichtigen oder suchen, was mehr Strom entnimmt"
	}
}

func (l Language) age(row *words.Row, r judge.AgeRow, v checks.Ruling) {
	years := func(d time.Duration) string { return l.Number(d.Hours()/8766, 1) + " Jahre" }
	whose := "übliche Praxis"
	if r.ByMaker {
		whose = "laut Hersteller"
	}
	row.Inputs, row.Result = "eingebaut "+l.day(r.Fitted), years(max(0, r.Age))
	if r.Age < 30*24*time.Hour {
		row.Result = "neu"
	}
	row.Limit = "zu erneuern nach " + years(r.Life) + "n, " + whose
	switch {
	case r.BeforeFitted():
		row.Result, row.Change = "nach diesem Termin eingebaut", "Tag in der Objektdatei berichtigen"
	case v == checks.Undecided:
		row.Change = "erneuern oder seine Kapazität durch eine Entladeprüfung nachweisen"
	}
}
