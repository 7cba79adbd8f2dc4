package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// look is a line of what is looked at of a detector: its sentence, and the words that remind
// of it where there is no room for that.
type look struct{ text, short string }

var germanLooks = map[programme.ItemCode]look{
	"gap": {"Kontakt und Magnet stehen sich mit dem Abstand gegenüber, den der Hersteller verlangt", "Abstand, " +
		"Magnet"},
	"play":    {"Der geschlossene Flügel hat kein Spiel, das den Magneten wegbewegt", "kein Spiel"},
	"warm-up": {"Nach dem Einschalten wurde die Anlaufzeit nach Herstellerangabe abgewartet", "Anlaufzeit"},
	"edges": {"Die Ränder seines Erfassungsbereichs wurden begangen, auch dort, wo er nichts erfassen " +
		"soll", "Ränder begangen"},
	"masking": {"Abdecken seines Fensters wird gemeldet, falls er dafür gebaut ist", "Abdecken"},
	"lamp":    {"Seine Gehtestlampe ist aus oder so, wie der Kunde sie will", "Lampe"},
	"view": {"Nichts Warmes oder Bewegtes steht im Blickfeld, und es lebt dort kein Tier, für das er nicht " +
		"gebaut ist",
		"Wärme, Bewegung, Tiere"},
	"tamper":    {"Öffnen seines Deckels wird gemeldet", "Deckel"},
	"tester":    {"Er wurde mit einem dafür gemachten Prüfgerät betätigt; Art des Prüfgeräts", "Art des Prüfgeräts"},
	"announced": {"Wer auf sein Signal reagieren könnte, wurde vor dem Drücken verständigt", "angekündigt"},
	"guarded":   {"Niemand kann ihn durch Anlehnen, Putzen oder Hängenbleiben auslösen", "nicht versehentlich"},
	"latched": {"Er blieb in Alarm, bis seine Versorgung unterbrochen wurde, und war danach in Ruhe", "hält, " +
		"stellt zurück"},
	"relay": {"Das Relais am Ende seiner Speiseleitung meldet, dass die Versorgung weg ist", "Überwachungsrelais"},
}

// germanAgreed are lines about the network, about what was agreed, and those with a value.
var germanAgreed = map[programme.ItemCode]string{
	"extent":         "Was dieser Termin umfasst und was nicht, wurde mit dem Kunden vor Beginn vereinbart",
	"on-test":        "Die Alarmempfangsstelle hat die Anlage auf Test geschaltet; ihre Vorgangsnummer",
	"on-test-from":   "Auf Test ab",
	"off-test":       "Die Alarmempfangsstelle hat den Test beendet und die empfangenen Signale bestätigt, um",
	"sounder-tamper": "Öffnen der Sirene und Abreißen von der Wand werden gemeldet",
	"passwords":      "Kein Passwort der Zentrale, ihrer App oder ihres Netzwerkgeräts ist noch das der Auslieferung",
	"remote-access":  "Wer die Anlage von außen erreicht und was er kann, wurde mit dem Kunden vereinbart",
	"software":       "Die Software der Zentrale ist aktuell, oder der Kunde weiß, warum nicht",
	"ports":          "Niemand kann von außen eine Verbindung zur Zentrale aufbauen: Der Router lässt keine herein",
	"clock-source":   "Die Zentrale stellt ihre Uhr nach einer Quelle, die sie erreicht",
	"network-still": "Passwörter und Fernzugang sind wie vereinbart, der Router lässt niemanden herein, die " +
		"Software ist aktuell",
	"keyholders":     "Schlüsselträger und Interventionskräfte sind Kunde und Alarmempfangsstelle bekannt",
	"log-book-place": "Platz des Betriebsbuchs",
	"agreement":      "Wartungsvertrag",
	"records":        "Diese Aufzeichnung wird aufbewahrt",
	"next-visit":     "Der nächste Termin ist vereinbart für",
	"persons": "Wer als Techniker unterschreibt, hat allein geprüft und gibt diese Aufzeichnung frei, außer wer " +
		"daneben genannt ist",
	"temporary": "Nichts blieb ausgeschaltet oder behelfsmäßig instand gesetzt, außer was daneben steht, und auf " +
		"wessen Wunsch",
	"earlier-records": "Aufzeichnungen früherer Termine lagen vor, oder daneben steht, wer sie hat",
	"log":             "Der Ereignisspeicher der Zentrale wurde gelesen",
	"false-alarms-since": "Kein Falschalarm seit dem letzten Termin, außer denen, deren Zahl und Ursache " +
		"daneben stehen",
	"clock-error": "Die Uhr der Zentrale ging richtig, oder sie wurde gestellt, und ihr Fehler steht daneben",
	"parts":       "Kein Teil wurde ersetzt und kein Akku erneuert, außer was daneben steht",
}

// germanFurther are lines that only a company's own list names.
var germanFurther = map[programme.ItemCode]string{
	"adapter":       "Das Netzteil deckt die Last der ganzen Anlage, während der Akku lädt",
	"adapter-still": "Das Netzteil deckt noch die Last von allem, was jetzt eingebaut ist",
	"path-power":    "Auch Router oder Gateway auf dem Weg aus dem Objekt ist notversorgt",
	"clock":         "Die Uhr der Zentrale geht richtig oder wurde gestellt",
}

var germanKindNames = map[site.DetectorKind]string{
	"door": "Türkontakte", "window": "Fensterkontakte", "motion": "Bewegungsmelder",
	"glass-break": "Glasbruchmelder", "hold-up": "Überfallmelder", "tamper": "Sabotagekontakte",
	"smoke": "Rauchmelder", "carbon-monoxide": "Kohlenmonoxidmelder", "flood": "Wassermelder",
	"other": "sonstige Melder",
}

func germanItem(c programme.ItemCode) string {
	if text := germanItems[c]; text != "" {
		return text
	}
	if text := germanAgreed[c]; text != "" {
		return text
	}
	if text := germanContentItems[c]; text != "" {
		return text
	}
	if text := germanFurther[c]; text != "" {
		return text
	}
	return germanLooks[c].text
}

// shortLook reminds of a line; of a company's own, its beginning does.
func shortLook(n programme.Name) string {
	if n.Text != "" {
		return screen.Cut(n.Text, 24)
	}
	if short := germanLooks[n.Item].short; short != "" {
		return short
	}
	return screen.Cut(germanItem(n.Item), 24)
}

// ofLooks says what is asked and told about what is looked at, and about values.
func (l Language) ofLooks(p words.Phrase) string {
	switch p := p.(type) {
	case ask.LooksMatter:
		if p.Detector != nil {
			return fmt.Sprintf("%s: %d von %d Punkten offen", briefly(*p.Detector), p.Open, p.All)
		}
		text := fmt.Sprintf("Bei allen so? %s: %d von %d offen", germanKindNames[p.Of], p.Open, p.All)
		if p.LeftOut > 0 {
			text += fmt.Sprintf("; %d nicht geprüft, und auch hier ausgelassen", p.LeftOut)
		}
		return text
	case ask.LookLine:
		return l.Say(p.Name)
	case ask.LooksHere:
		var short []string
		for _, n := range p.Lines {
			short = append(short, shortLook(n))
		}
		return "hier anzusehen: " + strings.Join(short, "; ")
	case ask.WithValue:
		return l.Say(p.Line) + ": " + quoted(p.Value)
	case ask.ValueMatter:
		if p.Of != "" {
			return l.Say(p.Line) + ", überall: " + germanKindNames[p.Of]
		}
		return l.Say(p.Line)
	}
	return ""
}
