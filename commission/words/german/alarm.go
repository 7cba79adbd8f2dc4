package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofAlarm says what belongs to one alarm from end to end.
func (l Language) ofAlarm(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{l.alarmNames, l.alarmCodes, l.alarmAsked, l.alarmNotice,
		l.alarmStatement, l.alarmPrinted} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	return "", false
}

// alarmNames says what the steps are called.
func (Language) alarmNames(p words.Phrase) string {
	n, is := p.(programme.Name)
	if !is {
		return ""
	}
	switch n.Kind {
	case programme.StepSetting:
		return "Scharf schalten und auf dem Austrittsweg hinausgehen"
	case programme.StepEntry:
		return "Auf dem Eintrittsweg eintreten und rechtzeitig unscharf schalten"
	case programme.StepIntrusion:
		return "Ein Einbruch und was darauf folgt"
	case programme.StepReceipt:
		if n.Path == "" {
			return "Eingang bei der Alarmempfangsstelle"
		}
		return "Eingang bei der Alarmempfangsstelle über " + named(n.Path)
	}
	return ""
}

var (
	germanInstants = map[record.Instant]string{
		record.ToBegin: "Aufforderung: beginnen", record.ToSet: "Aufforderung: scharf schalten",
		record.ToEnter: "Aufforderung: eintreten", record.ToIntrude: "Aufforderung: Alarm auslösen",
		record.ToUnset: "Aufforderung: unscharf schalten",
		record.Setting: "Scharfschalten beginnt", record.SystemSet: "scharf", record.EntryOpened: "Eintrittsweg " +
			"geöffnet",
		record.Entering: "Eintrittsverzögerung läuft", record.Intruded: "Auslösung", record.Alarmed: "Alarm",
		record.Confirmed: "Alarm bestätigt", record.OutputOn: "von der Zentrale " +
			"eingeschaltet", record.OutputOff: "von selbst aus",
		record.SilencedNow: "vom Techniker ausgeschaltet", record.Unset: "unscharf", record.AlarmOver: "Alarm vorbei",
		record.AllAtRest: "alles in Ruhe", record.CentreClock: "Uhr der Empfangsstelle verglichen",
		judge.Received: "eingegangen bei der Empfangsstelle",
	}
	germanWitnesses = map[record.Witness]string{
		record.ByKey: "Taste des Technikers", record.ByReport: "Meldung der Zentrale", record.BySignal: "Signal " +
			"der Linie",
		record.ByCentre: "Angabe der Empfangsstelle",
	}
	germanAlarmLaws = map[record.Law]string{
		record.LawAlarmStep:      "ein Zeitpunkt eines Alarms gehört zu keinem seiner begonnenen Schritte",
		record.LawMomentAfterCue: "etwas wurde getan, bevor der Techniker dazu aufgefordert war",
		record.LawReceipt:        "was die Alarmempfangsstelle gesagt haben soll, ist keine Uhrzeit",
		record.LawAlarmOrder:     "in einem Alarm steht eine Folge vor dem, woraus sie folgt",
		record.LawAlarmThere: "ein Schritt eines Alarms ist beantwortet, der nicht gegangen wurde, oder ein " +
			"Eingang ohne Alarm",
	}
	germanAlarmKeys = map[ask.Key]string{
		ask.Begun: "ich schalte jetzt scharf", ask.IsSet: "ist scharf", ask.Opened: "ich betätige jetzt",
		ask.WentOff: "ein Alarm kam", ask.Sounds: "ertönt", ask.Flashes: "blitzt", ask.IsUnset: "ist unscharf",
		ask.Cannot: "das geht nicht", ask.Hush: "sofort ausschalten",
	}
	germanAlarmAdvice = map[ask.Advice]string{
		ask.WalkOutAdvice: "Gehen Sie wie die Nutzer auf dem Austrittsweg hinaus und schließen Sie hinter sich",
		ask.ByItselfAdvice: "Wo die Zentrale es meldet, geht das Programm von selbst weiter; sonst die Taste " +
			"drücken, sobald sie es anzeigt",
		ask.OtherThanEntry: "Einer, der nicht auf dem Eintrittsweg liegt; sein Punkt",
		ask.CentreClockAdvice: "Fragen Sie die Empfangsstelle, was ihre Uhr zeigt, und drücken Sie „bereit“ in dem " +
			"Moment, in dem die Antwort kommt; geben Sie die Zeit dann ein",
		ask.SilenceAdvice: "Was die Zentrale ertönen lässt, verstummt durch Unscharfschalten: Code oder Schlüssel " +
			"bereithalten",
	}
)

// alarmCodes says what codes mean.
func (Language) alarmCodes(p words.Phrase) string {
	switch p := p.(type) {
	case record.Instant:
		return germanInstants[p]
	case record.Witness:
		return germanWitnesses[p]
	case record.Law:
		return germanAlarmLaws[p]
	case ask.Key:
		return germanAlarmKeys[p]
	case ask.Advice:
		return germanAlarmAdvice[p]
	case ask.Matter:
		switch p {
		case ask.AlarmMatter:
			return "Ein echter Alarm, vom Scharfschalten, bis alles wieder in Ruhe ist"
		case ask.CentreClockAsked:
			return "Was zeigt die Uhr der Empfangsstelle?"
		}
	case ask.Choice:
		switch p {
		case ask.BeginAlarmChoice:
			return "beginnen: Die Anlage wird scharf geschaltet und ein Alarm ausgelöst"
		case ask.NoAlarmChoice:
			return "bei diesem Termin wird kein Alarm ausgelöst, mit Grund"
		}
	case judge.Part:
		if p == judge.PartAlarm {
			return "Alarm, von Anfang bis Ende"
		}
	case typed.Hint:
		if p == typed.NeverHint {
			return "„nie“ eingeben, wenn er nicht kam, oder „auslassen“, um ihn mit Grund auszulassen"
		}
	case words.Heading:
		if p == words.AlarmHeading {
			return "Ein Alarm, von Anfang bis Ende"
		}
	case words.Column:
		return map[words.Column]string{words.HappenedColumn: "Was", words.WhenColumn: "Wann",
			words.WitnessColumn: "Zeuge"}[p]
	case words.Note:
		switch p {
		case words.AlarmNote:
			return "Zeiten zählen ab dem Signal der Auslösung; beim Scharfschalten und Eintreten ab deren Beginn. " +
				"Wo die Zentrale es meldet, sind es Zeiten von Meldungen, sonst von Tasten, die der Techniker " +
				"drückte, als er es sah oder hörte. Eine Zeit, die die Zentrale zählt, darf bis zu 2 s länger sein " +
				"als angegeben: Beide Enden sind Meldungen. Was die Empfangsstelle sagt, gilt nach ihrer eigenen " +
				"Uhr und wird nur dort mit einer Grenze verglichen, wo diese Uhr verglichen wurde."
		case words.NoAlarmNote:
			return "Bei diesem Termin wurde kein Alarm ausgelöst: Dass die Zentrale auf Melder hin Alarm gibt, ist " +
				"nicht gezeigt."
		}
	}
	return ""
}

// alarmAsked says what is asked and waited for.
func (l Language) alarmAsked(p words.Phrase) string {
	switch p := p.(type) {
	case ask.AlarmProtected:
		text := "Alarmempfangsstelle auf Test, Nachbarn und Nutzer informiert?"
		if len(p.Outputs) > 0 {
			text = "Gehörschutz aufgesetzt, niemand in der Nähe von " + strings.Join(p.Outputs, ", ") + ", " +
				"Nachbarn und Nutzer informiert, eine Alarmempfangsstelle auf Test?"
		}
		return text + " Die Zentrale löst einen echten Alarm aus"
	case ask.AlarmMoment:
		return l.alarmMoment(p)
	case ask.IntrudeAt:
		if p.Second {
			return "Welcher zweite Melder bestätigt ihn?"
		}
		return "Welcher Melder löst den Alarm aus?"
	case ask.CentreSays:
		return l.Say(p.Step) + ": Wann kam der Alarm nach der Uhr der Empfangsstelle?"
	case ask.CentreReference:
		return l.Say(p.Step) + ": Vorgangsnummer der Empfangsstelle, falls es eine gibt"
	case ask.AlarmStatus:
		text := l.running(p.Since)
		if p.Most > 0 {
			text += ", angegeben " + l.Duration(p.Most)
		}
		return text
	}
	return ""
}

func (l Language) alarmMoment(p ask.AlarmMoment) string {
	detector := "Eintrittsweg"
	if p.Detector != nil {
		detector = l.Say(*p.Detector)
	}
	switch p.Do {
	case record.Setting:
		return "Anlage JETZT SCHARF schalten"
	case record.ToSet:
		return "Anlage JETZT SCHARF schalten und warten, bis sie scharf ist"
	case record.SystemSet:
		return "Die Anlage wird scharf geschaltet: warten, bis sie es ist"
	case record.EntryOpened:
		return "JETZT EINTRETEN: " + detector
	case record.Intruded:
		return "JETZT ALARM AUSLÖSEN, betätigen: " + detector
	case record.OutputOn:
		if p.Kind == site.Strobe {
			return "Auf " + p.Output + " achten: Die Zentrale muss diesen Ausgang blitzen lassen"
		}
		return "Auf " + p.Output + " horchen: Die Zentrale muss diesen Ausgang ertönen lassen"
	case record.Unset:
		if p.Output != "" {
			return "Anlage UNSCHARF schalten oder warten, bis " + p.Output + " von selbst aufhört"
		}
		return "Anlage JETZT UNSCHARF schalten"
	case record.AllAtRest:
		return "Ist alles in Ruhe: still, dunkel, alle Melder zurückgestellt, kein Alarm angezeigt?"
	}
	return germanInstants[p.Do]
}

func (l Language) alarmNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.AlarmCaution:
		return "Ein echter Alarm erschreckt Menschen und ruft womöglich Hilfe: Lassen Sie die Alarmempfangsstelle " +
			"die Anlage auf Test schalten, und informieren Sie Nutzer und Nachbarn. Was die Zentrale ertönen lässt, " +
			"verstummt sicher nur durch Unscharfschalten."
	case ask.SystemMayBeSet:
		return "Vor der Unterbrechung " + l.systemStood(p.Was) + ": SIE KANN SCHARF SEIN ODER ERTÖNEN. Der Schritt " +
			"des Alarms wird von vorn begonnen."
	case ask.SystemLeftSet:
		return "DIE ANLAGE KANN SCHARF SEIN ODER ERTÖNEN: Schalten Sie sie unscharf, bevor jemand umhergeht."
	case ask.UnsetAtOnce:
		text := "ANLAGE JETZT UNSCHARF SCHALTEN: Das bringt sie zum Schweigen."
		if len(p.Outputs) > 0 {
			text += " Die Zentrale wird auch angewiesen, " + strings.Join(p.Outputs, ", ") + " auszuschalten; im " +
				"Alarm befolgt sie das womöglich nicht."
		}
		return text
	case ask.AlarmCame:
		return "Ein Alarm kam: Anlage sofort unscharf schalten."
	case ask.SoundedAfter:
		return p.Output + ": an, " + l.Number(p.After.Seconds(), 1) + " s nach der Auslösung"
	case ask.NotSet:
		return "Die Anlage wird nicht scharf: Ohne das gibt es keinen Alarm. Gehen Sie weiter, sobald sie es wird, " +
			"oder lassen Sie ihn mit Grund aus."
	}
	return ""
}

// systemStood is how the system stood when it was heard of last.
func (Language) systemStood(was record.Instant) string {
	switch was {
	case record.SystemSet:
		return "war die Anlage scharf"
	case record.Intruded:
		return "war die Anlage scharf, und ein Melder wurde betätigt, um Alarm auszulösen"
	case record.Alarmed:
		return "war die Anlage scharf und im Alarm"
	}
	return "wurde die Anlage gerade scharf geschaltet"
}

// outputDoes is what an output was to do.
func outputDoes(kind site.OutputKind) string {
	if kind == site.Strobe {
		return "blitzen"
	}
	return "ertönen"
}

func (l Language) alarmStatement(p words.Phrase) string {
	switch p := p.(type) {
	case judge.AlarmNotTried:
		return "es wurde kein Alarm ausgelöst: Was auf einen Einbruch folgt, ist nicht gezeigt"
	case judge.AlarmNever:
		return l.alarmNever(p)
	case judge.AlarmTime:
		text := l.alarmInstant(p.Row) + " nach " + l.Duration(p.Row.Took.Round(10*time.Millisecond)) + " ± " +
			l.Number(p.Row.Uncertainty.Seconds(), 2) + " s, angegeben " + l.quantity(p.Row.Limit)
		if p.Row.Ruling == checks.Undecided {
			return text + ": zu knapp, um zu entscheiden"
		}
		return text
	case judge.AlarmEarly:
		return "der Alarm kam " + l.Duration(p.After.Round(100*time.Millisecond)) + " nach dem Eintreten, bevor die " +
			"angegebene Eintrittsverzögerung von " + l.quantity(p.Entry) + " um war"
	case judge.AlarmOnEntry:
		return "der Alarm kam " + l.Duration(p.After.Round(100*time.Millisecond)) +
			" nach dem Eintreten, bevor unscharf geschaltet war: Rechtzeitiges Unscharfschalten ist nicht gezeigt"
	case judge.AlarmNotReported:
		return "die Zentrale sollte es von sich aus melden und tat es nicht: " + l.instants(p.What)
	case judge.AlarmNotTimed:
		return "der Zeitpunkt ist nicht bekannt und lässt sich nicht mit der Angabe vergleichen: " + l.instants(p.What)
	case judge.AlarmNotSeen:
		return "ob die Zentrale " + p.Output + " ertönen oder blitzen ließ, wurde nicht beobachtet"
	case judge.AlarmSilenced:
		return "der Techniker schaltete den Alarm aus: Was gefolgt wäre, ist nicht gezeigt"
	case judge.AlarmUndeclared:
		return "niemand hat angegeben, womit die Zeiten eines Alarms zu vergleichen sind: " + plainKeys(p.Keys)
	}
	return l.receiptStatement(p)
}

func (l Language) receiptStatement(p words.Phrase) string {
	by := func(path string) string {
		if path == "" {
			return ""
		}
		return " über " + named(path)
	}
	switch p := p.(type) {
	case judge.NotReceived:
		return "der Alarm ging" + by(p.Path) + " nicht bei der Alarmempfangsstelle ein"
	case judge.ReceiptNotTimed:
		return "eingegangen" + by(p.Path) + "; wie lange es dauerte, ist nicht bekannt, denn die Uhr der " +
			"Empfangsstelle wurde nicht mit der hiesigen verglichen"
	case judge.ReceiptBefore:
		return "nach Angabe der Empfangsstelle ging der Alarm" + by(p.Path) + " " +
			l.Duration(p.By.Round(time.Second)) + " früher ein, als es ihn gab"
	}
	return ""
}

func (l Language) alarmNever(p judge.AlarmNever) string {
	switch p.What {
	case record.OutputOn:
		return "die Zentrale selbst ließ " + p.Output + " nicht " + outputDoes(p.Kind)
	case record.SystemSet:
		return "die Anlage wurde nicht scharf"
	case record.Unset:
		return "die Anlage wurde nicht unscharf"
	case record.AllAtRest:
		return "nach dem Alarm kam nicht alles zur Ruhe"
	}
	return l.Say(p.What) + ": nie"
}

func (l Language) instants(all []record.Instant) string {
	var texts []string
	for _, i := range all {
		texts = append(texts, l.Say(i))
	}
	return strings.Join(texts, ", ")
}

// alarmInstant is what happened, and where.
func (l Language) alarmInstant(row judge.AlarmEvent) string {
	text := l.Say(row.What)
	switch {
	case row.Detector != nil:
		text += ": " + l.Say(*row.Detector)
	case row.Output != "":
		text = row.Output + " " + text
	case row.Path != "":
		text += " über " + named(row.Path)
	}
	return text
}

// alarmPrinted says what stands on a certificate.
func (l Language) alarmPrinted(p words.Phrase) string {
	switch p := p.(type) {
	case judge.AlarmEvent:
		return l.alarmInstant(p)
	case words.AlarmSince:
		return l.alarmSince(p)
	case words.AlarmReceipt:
		text := p.Row.Said + " nach der Uhr der Empfangsstelle" + l.clockAhead(p.Row.Ahead)
		if p.Row.Reference != "" {
			text += ", Vorgang " + quoted(p.Row.Reference)
		}
		return text
	case words.AlarmLimit:
		if p.Row.Limit == "" {
			return "keine angegeben"
		}
		text := l.quantity(p.Row.Limit)
		if p.Row.Slack > 0 {
			text += " + " + l.Duration(p.Row.Slack)
		}
		if p.Row.Took > 0 {
			text = l.Number(p.Row.Took.Seconds(), 1) + " s ± " + l.Number(p.Row.Uncertainty.Seconds(), 1) + " s " +
				"von " + text
		}
		return text
	case words.AlarmTried:
		return fmt.Sprintf("%d-mal begonnen; das letzte Mal zählt", p.Attempts)
	}
	return ""
}

// clockAhead says how far the centre's clock was ahead of ours; "" where the two were not compared.
func (l Language) clockAhead(by *time.Duration) string {
	switch {
	case by == nil:
		return ""
	case *by > 0:
		return ", " + l.Duration(*by) + " vor unserer, abgezogen"
	case *by < 0:
		return ", " + l.Duration(-*by) + " hinter unserer, abgezogen"
	}
	return ", gleich unserer"
}

func (l Language) alarmSince(p words.AlarmSince) string {
	row := p.Row
	switch {
	case row.Never:
		return "nie"
	case row.What == judge.Received:
		if row.Uncertainty == 0 {
			return "ohne Zeit"
		}
		return fmt.Sprintf("%s s ± %s s", signed(l, row.Since), l.Number(row.Uncertainty.Seconds(), 1))
	case row.NotTimed != "":
		return l.TimeOfDay(p.At) + ", ohne Zeit"
	}
	return fmt.Sprintf("%s, %s s", l.TimeOfDay(p.At), signed(l, row.Since))
}

// signed is a span with its sign, in seconds.
func signed(l Language, d time.Duration) string {
	text := l.Number(d.Seconds(), 1)
	if d >= 0 {
		return "+" + text
	}
	return text
}
