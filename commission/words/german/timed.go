package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

var (
	germanUntimed = map[record.Untimed]string{
		record.NoTouch:      "keine Berührung sagt, wann betätigt wurde",
		record.OwnTime:      "zurückgestellt, wann der Techniker wollte",
		record.ClockUnknown: "die Uhr des Telefons war dabei nicht bekannt",
		record.ClockWide:    "die Uhr des Telefons war dabei nicht genau genug bekannt",
		record.StampedLate:  "dieses Programm kann die Zeit der Meldungen dabei zu spät genommen haben",
	}
	germanTaps          = map[record.TapBy]string{record.ByTouch: "Berührung", record.ByCount: "Zählen"}
	germanMarks         = map[record.TapBy]string{record.ByTouch: "b", record.ByCount: "z"}
	germanMeansOfAnswer = map[record.Means]string{record.AtTerminal: "Terminal", record.OnPhone: "Telefon"}
)

// ofTimed says what was done with a phone.
func (l Language) ofTimed(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case record.Untimed:
		return germanUntimed[p], germanUntimed[p] != ""
	case record.TapBy:
		return germanTaps[p], germanTaps[p] != ""
	case record.Means:
		return germanMeansOfAnswer[p], germanMeansOfAnswer[p] != ""
	case words.TimedFrom:
		return germanMarks[p.By] + " " + l.Number(p.Second, 2), germanMarks[p.By] != ""
	case judge.NotTimed:
		where := ""
		if p.OnStandby {
			where = " im Notbetrieb"
		}
		return points(p.Of) + where + ": nachgewiesen ist die Meldung; wie schnell, wurde nicht gemessen: " + l.Say(p.Why), true
	case judge.OnlyReported:
		return "ein Brand- oder Gasmelder: Nur dass sein Signal kommt, wurde gezeigt, nicht wie schnell; was die " +
			"Brandschutzvorschrift sonst verlangt, wurde hier nicht geprüft", true
	case words.CuesGiven:
		return l.cuesGiven(p.Of), true
	case words.CueMarks:
		return cueMarks(p), true
	case words.Devices:
		return devices(p.Of), true
	case words.TouchedAt:
		return strings.Replace(p.At.Format("15:04:05.000"), ".", ",", 1), true
	case words.Between:
		return l.Number(p.From, p.Decimals) + " bis " + l.Number(p.To, p.Decimals), true
	}
	return "", false
}

func (l Language) cuesGiven(c judge.Cues) string {
	var ways words.List
	for _, way := range []struct {
		n  int
		by string
	}{{c.Told, "durch dieses Programm"}, {c.Touched, "durch Berühren des Telefons"},
		{c.Counted, "durch Zählen des Telefons"}} {
		if way.n > 0 {
			ways.Of = append(ways.Of, words.AsTyped(fmt.Sprintf("%d aufgefordert %s", way.n, way.by)))
		}
	}
	if c.NotTimed > 0 {
		ways.Of = append(ways.Of, words.AsTyped(fmt.Sprintf("%d ohne Zeit", c.NotTimed)))
	}
	ways.By = words.And
	text := fmt.Sprintf("Zu Ende geführte Versuche: %d; davon %s.", c.Told+c.Touched+c.Counted+c.NotTimed, l.Say(ways))
	if !c.ByPhone() {
		return text
	}
	text += fmt.Sprintf(
		" Berührung und Zählen gehen nach der Uhr des Telefons. Wie weit sie von der dieses Programms abweicht, wurde "+
			"durch Nachrichten hin und her eingegrenzt, deren Wege verschieden sein können: auf ± %s s im schlechtesten "+
			"Fall, typisch ± %s s (die Hälfte der Grenzen). Ein Mensch verfehlt den Augenblick, für den er tippt oder zu "+
			"dem er zählt, um bis zu %s s (k = 2, aufgerundet; nach Repp 2005 und Deber et al. 2016). Beides steckt im ± "+
			"einer solchen Zeit: Was seiner Grenze näher liegt, ist unentschieden.",
		l.Number(c.Widest.Seconds(), 3),
		l.Number(c.Typical.Seconds(), 3),
		l.Number(record.TapPerson.Seconds(), 1),
	)
	if c.OwnClock {
		text += " Was die Zentrale anzeigte, wurde mit einer Taste desselben Telefons gesagt: Aufforderung und Meldung " +
			"gehen nach einer Uhr."
	}
	return text
}

func cueMarks(m words.CueMarks) string {
	var parts []string
	if m.Touched {
		parts = append(parts, "b: Zeit ab einer Berührung des Telefons.")
	}
	if m.Counted {
		parts = append(parts, "z: Zeit ab dem Ende des Zählens am Telefon.")
	}
	if m.NotTimed {
		parts = append(parts, "Ohne Zeit: gemeldet oder zurückgestellt; wie schnell, wurde nicht gemessen.")
	}
	return strings.Join(parts, " ")
}

// devices lists phones, the first few of many.
func devices(of []string) string {
	const most = 3
	var parts []string
	for i, d := range of {
		switch {
		case i == most:
			return strings.Join(parts, ", ") + fmt.Sprintf(" und %d weitere", len(of)-most)
		case d == "":
			parts = append(parts, "ein Telefon, das sich nicht beschreibt")
		default:
			parts = append(parts, "Telefon, nach eigener Beschreibung "+quoted(d))
		}
	}
	return strings.Join(parts, ", ")
}
