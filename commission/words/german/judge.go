package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofJudge says findings, what they concern, verdicts and cautions.
func (l Language) ofJudge(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Finding:
		return l.finding(p), true
	case judge.Subject:
		return l.subject(p), true
	case judge.Part:
		return germanParts[p], germanParts[p] != ""
	case judge.Shown:
		return l.shown(p), true
	case judge.Overall:
		return germanOveralls[p], germanOveralls[p] != ""
	case judge.Caution:
		return germanCautions[p], germanCautions[p] != ""
	case judge.Misplaced:
		return germanMisplaced[p], germanMisplaced[p] != ""
	case judge.Range:
		return l.limits(p), true
	case judge.Lack:
		return l.lack(p), true
	case words.Alike:
		return germanLoopStates[p[0]] + " und " + germanLoopStates[p[1]], true
	case words.OpenLoop:
		return "offen", true
	case words.FaultReads:
		return "Störung " + p.Ohm, true
	case site.Limit:
		return l.authority(p), true
	case record.Verdict:
		return germanVerdictNames[p], germanVerdictNames[p] != ""
	case record.Half:
		return germanHalfNames[p], germanHalfNames[p] != ""
	}
	for _, of := range []func(words.Phrase) (string, bool){l.ofDetectors, l.ofSupply, l.ofVisit, l.ofSeverity, l.ofTimed,
		l.ofFaults} {
		if text, has := of(p); has {
			return text, true
		}
	}
	return "", false
}

var germanOveralls = map[judge.Overall]string{
	judge.NotFinished:     "nicht abgeschlossen",
	judge.Satisfactory:    "in Ordnung",
	judge.WithLimitations: "in Ordnung, mit Einschränkungen",
	judge.Unsatisfactory:  "nicht in Ordnung",
}

var germanVerdictNames = map[record.Verdict]string{
	record.Proved:    "nachgewiesen",
	record.Reported:  "gemeldet",
	record.Undecided: "unentschieden",
	record.Late:      "zu spät",
	record.Silent:    "stumm",
	record.Crossed:   "vertauscht",
	record.Inverted:  "verkehrt",
	record.Unsteady:  "unruhig",
	record.NotTested: "nicht geprüft",
	record.Void:      "ungültig",
}

var germanHalfNames = map[record.Half]string{record.Operate: "betätigen", record.Restore: "zurückstellen"}

var germanParts = map[judge.Part]string{
	judge.PartChecklist: "Checkliste",
	judge.PartVoltmeter: "Voltmeter",
	judge.PartSupply:    "Versorgung",
	judge.PartReporting: "Meldung im Notbetrieb",
	judge.PartRestart:   "Kaltstart",
	judge.PartVisit:     "Termin",
	judge.PartTimes:     "Zeiten",
	judge.PartCustomer:  "Kunde",
	judge.PartSignals:   "Signale",
	judge.PartDetection: "Erfassung",
	judge.PartExtent:    "Umfang",
	judge.PartLimits:    "Grenzen",
	judge.PartVoltages:  "Spannungen an Meldern",
	judge.PartLoops:     "Schleifen",
	judge.PartOutputs:   "Ausgänge",
	judge.PartRecord:    "Aufzeichnung",
	judge.PartComputer:  "Computer",

	judge.PartCentre:      "Alarmempfangsstelle",
	judge.PartPhotographs: "Fotos",
	judge.PartEarlier:     "Frühere Termine",
}

func (l Language) subject(s judge.Subject) string {
	switch {
	case s.Detector != nil:
		about := briefly(*s.Detector)
		if s.Detector.OnStandby {
			about += ", im Notbetrieb"
		}
		return about
	case s.Zone != nil:
		return capital(l.Say(*s.Zone))
	case s.Step != nil:
		return l.Say(*s.Step)
	case s.Computed != nil:
		return l.aboutRow(s.Computed) + ", berechnet"
	}
	return l.Say(s.Part)
}

func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + text[size:]
}

// finding is what is the matter, with the reason and the remarks as typed.
func (l Language) finding(f judge.Finding) string {
	text := because(l.Say(f.What), f.Because)
	if len(f.Noted) > 0 {
		text += " (vermerkt: " + germanQuotes.All(f.Noted) + ")"
	}
	return text
}

// because appends a reason or remark to a text.
func because(text, remark string) string {
	if remark == "" {
		return text
	}
	return text + ": " + quoted(remark)
}

func seconds(d time.Duration) string { return Language{}.Number(d.Seconds(), 2) + " s" }

var germanHalves = map[record.Half]string{record.Operate: "beim Betätigen", record.Restore: "beim Zurückstellen"}

// shown says what a trial means for its detector, and where to look.
func (l Language) shown(s judge.Shown) string {
	j, half, times := s.Judgement, germanHalves[s.Half], ""
	if s.Trials > 1 {
		times = fmt.Sprintf(", im letzten von %d Versuchen", s.Trials)
	}
	switch j.Verdict {
	case record.Silent:
		return l.silent(j, half, times)
	case record.Crossed:
		return l.Say(
			*j.Other,
		) + ", hat stattdessen gemeldet" + times + "; suchen Sie nach vertauschten Klemmen, einem Melder an der " +
			"Schleife der anderen Linie oder einer falschen Adresse"
	case record.Inverted:
		return half + " das Gegenteil gemeldet" + times +
			"; sehen Sie nach, ob Schließer eingestellt ist, wo Öffner verdrahtet ist"
	case record.Unsteady:
		return fmt.Sprintf("%s %d-mal gewechselt%s; suchen Sie nach einem losen Magneten oder einer schlechten "+
			"Verbindung", strings.Replace(half, "beim ", "beim einmaligen ", 1), j.Changes, times)
	case record.Late:
		return fmt.Sprintf("%s nach %s gemeldet, später als die Grenze von %s%s",
			half, seconds(j.Response), l.Duration(j.Limit), times)
	case record.Undecided:
		return fmt.Sprintf("%s nach %s ± %s gemeldet, für eine Entscheidung zu nahe an der Grenze von %s%s "+
			"(Wahrscheinlichkeit, dass sie eingehalten ist: %.0f %%)",
			half, seconds(j.Response), seconds(j.Uncertainty), l.Duration(j.Limit), times, 100*j.Probability)
	case record.Reported:
		return half + " gemeldet; wie schnell, wurde nicht gemessen"
	case record.Proved:
		return fmt.Sprintf("%s nach %s gemeldet", half, seconds(j.Response))
	}
	return "nicht geprüft"
}

func (l Language) silent(j record.Judgement, half, times string) string {
	const look = "; suchen Sie nach einer überbrückten oder unterbrochenen Schleife oder einer falschen Adresse"
	waited := fmt.Sprintf("%.0f s", math.Floor(j.Waited.Seconds()))
	switch {
	case j.NotTimed != "" && j.Garbled == "":
		return half + " keine Meldung" + times + ", in Reihenfolge und Zeit des Technikers" + look
	case j.Garbled != "":
		return half + " gemeldet: " + germanQuotes.Readable(j.Garbled, "nichts") + times + "; das kennt " +
			"controller.yaml nicht"
	case j.GaveUp:
		return half + " keine Meldung" + times + ", bis der Techniker nach " + waited + " aufgab" + look
	}
	return half + " keine Meldung binnen " + waited + times + look
}

func (l Language) ofDetectors(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.NotSo:
		return "nicht so: „" + l.Say(p.Item) + "“", true
	case judge.NotChecked:
		return "nicht kontrolliert: „" + l.Say(p.Item) + "“", true
	case judge.NotDone:
		return "nicht getan: „" + l.Say(p.Act) + "“", true
	case judge.NotTested:
		if p.ProvedOnStandby {
			return "im Gehtest nicht geprüft, doch einmal im Notbetrieb nachgewiesen", true
		}
		return "nicht geprüft", true
	case judge.NoPart:
		return "kein Teil dieses Termins: nicht geprüft", true
	case judge.ProvedWithMains:
		return "nachgewiesen, doch das Netz war nicht weg", true
	case judge.ProvedThenLeft:
		return "zuvor nachgewiesen, dann nicht erneut geprüft", true
	case judge.AlsoAnswered:
		return l.Say(p.Zone) + ", hat ebenfalls gemeldet; suchen Sie nach einem Schluss zwischen den beiden " +
			"Schleifen", true
	case judge.ReportGarbled:
		return "gemeldet: " + germanQuotes.Readable(p.Raw, "nichts") + "; das kennt controller.yaml nicht", true
	case judge.OnlyTimed:
		return "ein Brand- oder Gasmelder: Nur die Zeit seines Signals wurde genommen; was die " +
			"Brandschutzvorschriften sonst verlangen, wurde hier nicht geprüft", true
	case judge.NoneProved:
		return "kein einziger Melder wurde nachgewiesen", true
	case judge.HeardElsewhere:
		return germanHeardElsewhere(p.Signals), true
	case judge.StrangersReported:
		atLeast := ""
		if p.AtLeast {
			atLeast = "mindestens "
		}
		return "die Zentrale meldete " + atLeast + count(p.Addresses, "Adresse, die", "Adressen, die") +
			" nicht in der Objektdatei " + plural(p.Addresses, "steht", "stehen"), true
	case judge.PhotographLost:
		return fmt.Sprintf("%s, Eintrag %d, ist nicht mehr so vorhanden, wie es hinzugefügt "+
			"wurde", p.Name, p.Entry), true
	case judge.SignalsLost:
		return fmt.Sprintf("%s zwischen %s und %s verloren, weil Signale schneller kamen, als sie geschrieben "+
			"werden konnten; Versuche, die währenddessen warteten, wurden wiederholt",
			count(p.Signals, "Signal", "Signale"), p.From.Format(time.TimeOnly), p.To.Format(time.TimeOnly)), true
	case judge.NotObserved:
		if p.Kind == site.Strobe {
			return "wurde nicht gesehen", true
		}
		return "wurde nicht gehört", true
	case judge.SwitchedOffLate:
		return "konnte nicht sofort ausgeschaltet werden: " + p.Why, true
	}
	return "", false
}

var germanMisplaced = map[judge.Misplaced]string{
	judge.WithMains:      "bei vorhandenem Netz gemessen",
	judge.WithoutMains:   "ohne Netz gemessen",
	judge.OutputOff:      "bei ausgeschaltetem Ausgang gemessen",
	judge.OutputUnproved: "ein Ausgang seiner Last arbeitete dabei nicht nachweislich",
}

func (l Language) ofSupply(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.ReadingVoid:
		why := l.Say(p.Why)
		if p.Why == judge.OutputOff {
			why = "gemessen, als der Ausgang aus war: " + p.Output
		}
		if p.Why == judge.OutputUnproved {
			why = "dabei nicht nachweislich in Betrieb: " + p.Output
		}
		return l.volt(p.Volt) + " besagt nichts: " + why, true
	case judge.NotMeasured:
		return "nicht gemessen", true
	case judge.ReadingOutside:
		return fmt.Sprintf("%s, Grenze nicht eingehalten (%s)", l.volt(p.Volt), l.Say(p.Limit)), true
	case judge.ReadingUndecided:
		if p.Beyond {
			return fmt.Sprintf("%s ± %s, außerhalb einer Grenze, die nur üblich ist (%s): unentschieden", l.volt(p.Volt),
				l.volt(p.Uncertainty), l.Say(p.Limit)), true
		}
		return fmt.Sprintf("%s ± %s, für eine Entscheidung zu nahe an der Grenze (%s)", l.volt(p.Volt),
			l.volt(p.Uncertainty), l.Say(p.Limit)), true
	case judge.CalibrationOver:
		return "die Kalibrierung galt nur bis " + l.day(p.Until), true
	case judge.CalibrationNotStated:
		return "bis wann es kalibriert ist, wurde nicht angegeben", true
	case judge.UncertaintyNotStated:
		return "seine Unsicherheit wurde nicht angegeben; Messwerte wurden mit ihren Grenzen verglichen, als " +
			"wären sie genau", true
	case judge.PathOnMains:
		return "der Router oder das Gateway blieb am Netz; dass Meldungen bei Netzausfall das Objekt verlassen, " +
			"ist nicht nachgewiesen", true
	case judge.PathNotKnown:
		return "ob der Router oder das Gateway notversorgt ist, wurde nicht festgestellt", true
	case judge.NoBattery:
		return "kein Akku eingebaut: Bei Netzausfall steht die Anlage still", true
	case judge.MainsStillRemoved:
		return "das Netz ist noch weg", true
	case judge.RestartSilent:
		return "die Zentrale meldete sich nicht wieder, nachdem die ganze Stromversorgung weg war", true
	case judge.RestartLate:
		return fmt.Sprintf("die Zentrale meldete sich erst nach %s wieder (Grenze %s, %s)",
			l.Duration(p.Took.Round(100*time.Millisecond)), l.Duration(p.Limit.Duration()), l.Say(p.Limit)), true
	case judge.RestartUndecided:
		return fmt.Sprintf("die Zentrale meldete sich nach %s wieder, für eine Entscheidung zu nahe an der "+
			"Grenze von %s",
			seconds(p.Took), l.Duration(p.Limit.Duration())), true
	case judge.ComputedSo:
		row := l.Computed(judge.Computed{Row: p.Row, Ruling: p.Ruling, Danger: p.Danger, Assumed: p.Assumed})
		text := row.Result
		if row.Limit != "" {
			text += " (Grenze: " + row.Limit + ")"
		}
		if row.Change != "" {
			text += "; zu ändern: " + row.Change
		}
		return text, true
	}
	return "", false
}

func (l Language) ofVisit(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Practice:
		return "Signale oder Messwerte wurden simuliert: Dies ist Übung, kein Nachweis für eine Anlage", true
	case judge.TimedDifferently:
		return "Zeiten wurden auf mehr als eine Weise genommen; siehe „Wie die Zeiten genommen wurden“", true
	case judge.CustomerRefused:
		return "hat diese Liste gesehen und erkennt sie nicht an", true
	case judge.NobodySigned:
		return "für den Kunden hat niemand unterschrieben", true
	case judge.NotAccepted:
		return "nicht gezeigt oder nicht anerkannt: " + strings.Join(p.IDs, ", "), true
	case judge.RetestExtent:
		return fmt.Sprintf("eine Nachprüfung: Sie umfasste %d von %d Schritten eines ganzen Termins und %d von "+
			"%d Meldern des Objekts; für die übrigen siehe den Termin, auf den sie folgt",
			p.Steps, p.AllSteps, p.Detectors, p.AllDetectors), true
	}
	return "", false
}

// limits says what a voltage is held against.
func (l Language) limits(r judge.Range) string {
	lower := l.Number(r.Lower.SI, words.AsNeeded)
	switch {
	case r.Open():
		return "mit den anderen zusammen beurteilt"
	case r.Lower.By == "":
		return "höchstens " + l.Number(r.Upper.SI, words.AsNeeded) + " V, " + l.Say(*r.Upper)
	}
	if r.Upper == nil {
		return "mindestens " + lower + " V, " + l.Say(r.Lower)
	}
	text := lower + " V bis " + l.Number(r.Upper.SI, words.AsNeeded) + " V"
	if l.Say(*r.Upper) != l.Say(r.Lower) {
		return text + ", untere: " + l.Say(r.Lower) + ", obere: " + l.Say(*r.Upper)
	}
	return text + ", " + l.Say(r.Lower)
}

// authority is who says what a limit is.
func (Language) authority(s site.Limit) string {
	if s.By == site.Named {
		return named(s.Source)
	}
	return cmp.Or(germanAuthorities[s.By], string(s.By))
}

var germanAuthorities = map[site.Authority]string{
	site.CommonPractice: "übliche Praxis",
	site.SiteFile:       "Objektdatei",
}

// volt is a voltage as it was read.
func (l Language) volt(v float64) string { return l.Number(v, 2) + " V" }
