package words

import (
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
func (l English) ofAlarm(p Phrase) (string, bool) {
	for _, of := range []func(Phrase) string{l.alarmNames, l.alarmCodes, l.alarmAsked, l.alarmNotice, l.alarmStatement,
		l.alarmPrinted} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	return "", false
}

// alarmNames says what the steps are called.
func (English) alarmNames(p Phrase) string {
	n, is := p.(programme.Name)
	if !is {
		return ""
	}
	switch n.Kind {
	case programme.StepSetting:
		return "Setting the system and leaving by the exit route"
	case programme.StepEntry:
		return "Entering by the entry route and unsetting in time"
	case programme.StepIntrusion:
		return "An intrusion, and what follows"
	case programme.StepReceipt:
		if n.Path == "" {
			return "Receipt at the receiving centre"
		}
		return "Receipt at the receiving centre by " + named(n.Path)
	}
	return ""
}

var (
	englishInstants = map[record.Instant]string{
		record.ToBegin: "told to begin", record.ToSet: "told to set", record.ToEnter: "told to enter",
		record.ToIntrude: "told to intrude", record.ToUnset: "told to unset",
		record.Setting: "setting begins", record.SystemSet: "set", record.EntryOpened: "entry route opened",
		record.Entering: "entry time runs", record.Intruded: "intrusion", record.Alarmed: "alarm",
		record.Confirmed: "alarm confirmed", record.OutputOn: "on by the controller", record.OutputOff: "stopped by itself",
		record.SilencedNow: "silenced by the technician", record.Unset: "unset", record.AlarmOver: "alarm over",
		record.AllAtRest: "everything at rest", record.CentreClock: "the centre's clock compared",
		judge.Received: "received at the centre",
	}
	englishWitnesses = map[record.Witness]string{
		record.ByKey: "technician's key", record.ByReport: "controller's message", record.BySignal: "zone's signal",
		record.ByCentre: "the centre's word",
	}
	englishAlarmLaws = map[record.Law]string{
		record.LawAlarmStep:      "a moment of an alarm belongs to none of its steps that was begun",
		record.LawMomentAfterCue: "something was done before the technician was told to do it",
		record.LawReceipt:        "what the receiving centre is said to have said is no time of day",
		record.LawAlarmOrder:     "in an alarm, what follows from something stands before it",
		record.LawAlarmThere:     "a step of an alarm is answered that was not taken, or a receipt without an alarm",
	}
	englishAlarmKeys = map[ask.Key]string{
		ask.Begun: "I begin to set it now", ask.IsSet: "it is set", ask.Opened: "I operate it now",
		ask.WentOff: "an alarm came", ask.Sounds: "it sounds", ask.Flashes: "it flashes", ask.IsUnset: "it is unset",
		ask.Cannot: "that cannot be done", ask.Hush: "silence it at once",
	}
	englishAlarmAdvice = map[ask.Advice]string{
		ask.WalkOutAdvice: "Leave by the exit route as the users do, and close up behind you",
		ask.ByItselfAdvice: "Where the controller tells it, the program goes on by itself; else press the key when it " +
			"shows it",
		ask.OtherThanEntry: "One that is not on the entry route; its point",
		ask.CentreClockAdvice: "Ask the centre what time its clock shows, and press ready at the moment they say it; " +
			"type it then",
		ask.SilenceAdvice: "What the controller lets sound is silenced by unsetting the system: have the code or key at hand",
	}
)

// alarmCodes says what codes mean.
func (English) alarmCodes(p Phrase) string {
	switch p := p.(type) {
	case record.Instant:
		return englishInstants[p]
	case record.Witness:
		return englishWitnesses[p]
	case record.Law:
		return englishAlarmLaws[p]
	case ask.Key:
		return englishAlarmKeys[p]
	case ask.Advice:
		return englishAlarmAdvice[p]
	case ask.Matter:
		switch p {
		case ask.AlarmMatter:
			return "One real alarm, from setting the system to everything at rest again"
		case ask.CentreClockAsked:
			return "What does the centre's clock show?"
		}
	case ask.Choice:
		switch p {
		case ask.BeginAlarmChoice:
			return "begin: the system is set, and an alarm raised"
		case ask.NoAlarmChoice:
			return "no alarm is raised in this visit, with a reason"
		}
	case judge.Part:
		if p == judge.PartAlarm {
			return "Alarm, from end to end"
		}
	case typed.Hint:
		if p == typed.NeverHint {
			return "type never if it did not come, or skip to leave it out with a reason"
		}
	case Heading:
		if p == AlarmHeading {
			return "One alarm, from end to end"
		}
	case Column:
		return map[Column]string{HappenedColumn: "What", WhenColumn: "When", WitnessColumn: "Seen by"}[p]
	case Note:
		switch p {
		case AlarmNote:
			return "Times count from the signal of the intrusion; in setting and entry from their beginning. They are of " +
				"messages where the controller tells them, else of keys that the technician pressed on seeing or hearing it. " +
				"A time that the controller counts may be up to 2 s longer than declared: both ends are told by messages. " +
				"What the centre says is by its own clock, and held against a limit only where that was compared."
		case NoAlarmNote:
			return "No alarm was raised in this visit: that detectors make the controller sound is not shown."
		}
	}
	return ""
}

// alarmAsked says what is asked and waited for.
func (l English) alarmAsked(p Phrase) string {
	switch p := p.(type) {
	case ask.AlarmProtected:
		text := "The receiving centre has it on test, neighbours and users are told?"
		if len(p.Outputs) > 0 {
			text = "Hearing protection on, nobody near " + strings.Join(p.Outputs, ", ") + ", neighbours and users told, " +
				"and a receiving centre has it on test?"
		}
		return text + " The controller raises a real alarm"
	case ask.AlarmMoment:
		return l.alarmMoment(p)
	case ask.IntrudeAt:
		if p.Second {
			return "Which second detector confirms it?"
		}
		return "Which detector raises the alarm?"
	case ask.CentreSays:
		return l.Say(p.Step) + ": when did the alarm come, by the centre's clock?"
	case ask.CentreReference:
		return l.Say(p.Step) + ": the reference that the centre gives, if any"
	case ask.AlarmStatus:
		text := fmt.Sprintf("%5.1f s", p.Since.Seconds())
		if p.Most > 0 {
			text += ", declared " + l.Duration(p.Most)
		}
		return text
	}
	return ""
}

func (l English) alarmMoment(p ask.AlarmMoment) string {
	detector := "the entry route"
	if p.Detector != nil {
		detector = l.Say(*p.Detector)
	}
	switch p.Do {
	case record.Setting:
		return "SET the system now"
	case record.ToSet:
		return "SET the system now, and wait until it is set"
	case record.SystemSet:
		return "The system is being set: wait until it is"
	case record.EntryOpened:
		return "ENTER now by " + detector
	case record.Intruded:
		return "INTRUDE now: operate " + detector
	case record.OutputOn:
		if p.Kind == site.Strobe {
			return "Watch for " + p.Output + ": the controller has to let it flash"
		}
		return "Listen for " + p.Output + ": the controller has to let it sound"
	case record.Unset:
		if p.Output != "" {
			return "UNSET the system, or wait until " + p.Output + " stops by itself"
		}
		return "UNSET the system now"
	case record.AllAtRest:
		return "Is everything at rest: silent, dark, all detectors restored, no alarm shown?"
	}
	return englishInstants[p.Do]
}

func (l English) alarmNotice(p Phrase) string {
	switch p := p.(type) {
	case ask.AlarmCaution:
		return "A real alarm frightens people and may call help: have the receiving centre put the system on test, and " +
			"tell users and neighbours. What the controller lets sound, only unsetting the system silences for sure."
	case ask.SystemMayBeSet:
		return "Before the break the system " + l.systemStood(p.Was) + ": IT MAY BE SET, OR SOUND. The step of the alarm " +
			"is taken again from its beginning."
	case ask.SystemLeftSet:
		return "THE SYSTEM MAY BE SET, OR SOUND: unset it before anybody walks about."
	case ask.UnsetAtOnce:
		text := "UNSET THE SYSTEM NOW: that silences it."
		if len(p.Outputs) > 0 {
			text += " The controller is also told to switch " + strings.Join(p.Outputs, ", ") + " off; in an alarm it may not " +
				"heed that."
		}
		return text
	case ask.AlarmCame:
		return "An alarm came: unset the system at once."
	case ask.SoundedAfter:
		return fmt.Sprintf("%s: on %.1f s after the intrusion", p.Output, p.After.Seconds())
	case ask.NotSet:
		return "The system does not set: without that there is no alarm. Go on when it does, or leave it out with a reason."
	}
	return ""
}

// systemStood is how the system stood when it was heard of last.
func (English) systemStood(was record.Instant) string {
	switch was {
	case record.SystemSet:
		return "was set"
	case record.Intruded:
		return "was set, and a detector was operated to raise an alarm"
	case record.Alarmed:
		return "was set, and in alarm"
	}
	return "was being set"
}

// outputDoes is what an output was to do.
func outputDoes(kind site.OutputKind) string {
	if kind == site.Strobe {
		return "flash"
	}
	return "sound"
}

func (l English) alarmStatement(p Phrase) string {
	switch p := p.(type) {
	case judge.AlarmNotTried:
		return "no alarm was raised: what follows an intrusion is not shown"
	case judge.AlarmNever:
		return l.alarmNever(p)
	case judge.AlarmTime:
		text := l.alarmInstant(p.Row) + " after " + l.Duration(p.Row.Took.Round(10*time.Millisecond)) + " ± " +
			l.Number(p.Row.Uncertainty.Seconds(), 2) + " s, declared " + p.Row.Limit
		if p.Row.Ruling == checks.Undecided {
			return text + ": too near to tell"
		}
		return text
	case judge.AlarmEarly:
		return "the alarm came " + l.Duration(p.After.Round(100*time.Millisecond)) + " after entering, before the declared " +
			"entry time of " + p.Entry + " was over"
	case judge.AlarmOnEntry:
		return "the alarm came " + l.Duration(p.After.Round(100*time.Millisecond)) +
			" after entering, before the system was unset: unsetting in time is not shown"
	case judge.AlarmNotReported:
		return "the controller was to tell of itself, and did not: " + l.instants(p.What)
	case judge.AlarmNotTimed:
		return "when it happened is not known, and cannot be held against what is declared: " + l.instants(p.What)
	case judge.AlarmNotSeen:
		return "whether the controller let " + p.Output + " sound or flash was not observed"
	case judge.AlarmSilenced:
		return "the alarm was silenced by the technician: what would have followed is not shown"
	case judge.AlarmUndeclared:
		return "nobody declared what the times of an alarm are held against: " + plainKeys(p.Keys)
	}
	return l.receiptStatement(p)
}

func (l English) receiptStatement(p Phrase) string {
	by := func(path string) string {
		if path == "" {
			return ""
		}
		return " by " + named(path)
	}
	switch p := p.(type) {
	case judge.NotReceived:
		return "the alarm did not reach the receiving centre" + by(p.Path)
	case judge.ReceiptNotTimed:
		return "received" + by(p.Path) + "; how long it took is not known, since the centre's clock was not compared with " +
			"the one here"
	case judge.ReceiptBefore:
		return "by what the centre says, it received the alarm" + by(p.Path) + " " +
			l.Duration(p.By.Round(time.Second)) + " before there was one"
	}
	return ""
}

func (l English) alarmNever(p judge.AlarmNever) string {
	switch p.What {
	case record.OutputOn:
		return p.Output + " did not " + outputDoes(p.Kind) + " by the controller itself"
	case record.SystemSet:
		return "the system did not set"
	case record.Unset:
		return "the system did not unset"
	case record.AllAtRest:
		return "after the alarm not everything came to rest"
	}
	return l.Say(p.What) + ": never"
}

func (l English) instants(all []record.Instant) string {
	var texts []string
	for _, i := range all {
		texts = append(texts, l.Say(i))
	}
	return strings.Join(texts, ", ")
}

// alarmInstant is what happened, and where.
func (l English) alarmInstant(row judge.AlarmEvent) string {
	text := l.Say(row.What)
	switch {
	case row.Detector != nil:
		text += ": " + l.Say(*row.Detector)
	case row.Output != "":
		text = row.Output + " " + text
	case row.Path != "":
		text += " by " + named(row.Path)
	}
	return text
}

// alarmPrinted says what stands on a certificate.
func (l English) alarmPrinted(p Phrase) string {
	switch p := p.(type) {
	case judge.AlarmEvent:
		return l.alarmInstant(p)
	case AlarmSince:
		return l.alarmSince(p)
	case AlarmReceipt:
		text := p.Row.Said + " by the centre's clock" + l.clockAhead(p.Row.Ahead)
		if p.Row.Reference != "" {
			text += ", reference " + quoted(p.Row.Reference)
		}
		return text
	case AlarmLimit:
		if p.Row.Limit == "" {
			return "none declared"
		}
		text := p.Row.Limit
		if p.Row.Slack > 0 {
			text += " + " + l.Duration(p.Row.Slack)
		}
		if p.Row.Took > 0 {
			text = l.Number(p.Row.Took.Seconds(), 1) + " s ± " + l.Number(p.Row.Uncertainty.Seconds(), 1) + " s of " + text
		}
		return text
	case AlarmTried:
		return "begun " + count(p.Attempts, "time", "times") + "; the last counts"
	}
	return ""
}

// clockAhead says how far the centre's clock was ahead of ours; "" where the two were not compared.
func (l English) clockAhead(by *time.Duration) string {
	switch {
	case by == nil:
		return ""
	case *by > 0:
		return ", " + l.Duration(*by) + " ahead of ours and taken off"
	case *by < 0:
		return ", " + l.Duration(-*by) + " behind ours and taken off"
	}
	return ", which agreed with ours"
}

func (l English) alarmSince(p AlarmSince) string {
	row := p.Row
	switch {
	case row.Never:
		return "never"
	case row.What == judge.Received:
		if row.Uncertainty == 0 {
			return "not timed"
		}
		return fmt.Sprintf("%s s ± %s s", signed(l, row.Since), l.Number(row.Uncertainty.Seconds(), 1))
	case row.NotTimed != "":
		return l.TimeOfDay(p.At) + ", not timed"
	}
	return fmt.Sprintf("%s, %s s", l.TimeOfDay(p.At), signed(l, row.Since))
}

// signed is a span with its sign, in seconds.
func signed(l English, d time.Duration) string {
	text := l.Number(d.Seconds(), 1)
	if d >= 0 {
		return "+" + text
	}
	return text
}
