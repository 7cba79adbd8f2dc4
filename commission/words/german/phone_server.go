package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

var germanRefusals = map[ask.PhoneRefusal]string{
	ask.NotPaired:    "Dieses Telefon ist nicht gekoppelt. Nehmen Sie den Code am Terminal mit der Kamera auf.",
	ask.TokenUnknown: "Diese Adresse gehört zu einem anderen Lauf. Nehmen Sie den Code am Terminal mit der Kamera auf.",
	ask.TokensStopped: "Zu viele falsche Adressen von diesem Telefon. Warten Sie eine Minute, dann nehmen Sie den " +
		"Code auf.",
	ask.TooManyPhones:   "Es sind schon mehr Telefone gekoppelt, als jemand braucht.",
	ask.OnlyLooksOn:     "Dieses Telefon sieht nur zu.",
	ask.NotTheHolder:    "Die Fragen sind auf einem anderen Gerät.",
	ask.WithTheCustomer: "Das Telefon ist beim Kunden: Bis es zurückgegeben wird, geht darauf nichts anderes.",
	ask.SoundsStill:     "Es ist noch etwas eingeschaltet: Schalten Sie es aus, bevor Sie das Telefon übergeben.",
	ask.CodeForm:        "Nehmen Sie vier Ziffern.",
	ask.CodeWrong:       "Das sind nicht die Ziffern, mit denen das Telefon übergeben wurde.",
	ask.CodesStopped:    "Zu viele falsche Ziffern. Warten Sie eine Minute.",
	ask.NotUnderstood:   "Seite und Programm verstehen einander nicht. Laden Sie die Seite neu.",
	ask.BodyTooLarge:    "Das ist zu groß.",
	ask.TapAhead: "Diese Berührung läge in der Zukunft: Die Uhren werden neu verglichen. Tippen Sie noch " +
		"einmal.",
	ask.NoSuchKey:       "Das ist jetzt nicht wählbar.",
	ask.NothingSounds:   "Nichts ist eingeschaltet.",
	ask.NoPhotographNow: "Jetzt ist kein Foto möglich.",
	ask.NoTerminal:      "Es gibt kein Terminal, dem die Fragen zurückgegeben werden könnten.",
	ask.VisitOver:       "Es ist beendet oder unterbrochen.",
}

var germanPairing = map[ask.PairMatter]string{
	ask.PairOnlooker: "Für alle, die nur zusehen:",
	ask.PairPlainHTTP: "Ohne Verschlüsselung: Wer im selben Funknetz ist, kann lesen und senden, was das Telefon tut, " +
		"und sein Bildschirm kann beim Warten dunkel werden.",
	ask.PairNotReached: "Kommt das Telefon nicht dorthin: Es muss im selben Netzwerk sein wie dieser Computer. " +
		"Gastnetzwerke trennen ihre Geräte voneinander, eine Firewall vielleicht auch: Verbinden Sie diesen Computer mit " +
		"dem Hotspot des Telefons und beginnen Sie neu.",
	ask.PairWhich: "In welchem Netzwerk ist das Telefon?",
}

// ofPhone says what a phone is told, and what is told about it.
func (l Language) ofPhone(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{l.phoneNotice, l.phoneHolder, l.phoneBoard} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	return "", false
}

// heldThere is where the questions are: on a device as it describes itself, or at the
// terminal.
func heldThere(device string) string {
	if device == "" {
		return "Die Fragen sind am Terminal"
	}
	return "Die Fragen sind auf dem Telefon " + quoted(device)
}

func (l Language) phoneNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.PhoneRefusal:
		return germanRefusals[p]
	case ask.PairMatter:
		return germanPairing[p]
	case ask.PhonePaired:
		if p.Onlooker {
			return "Ein Gerät, das nur zusieht, ist gekoppelt: " + quoted(p.Device)
		}
		return "Ein Telefon ist gekoppelt: " + quoted(p.Device)
	case ask.HeldByPhone:
		return heldThere(p.Device) + "."
	case ask.HeldByTerminal:
		return heldThere("") + "."
	case ask.WrongTokens:
		return "Von " + p.From + " werden falsche Adressen der Telefonseite versucht; dort muss gewartet werden."
	case ask.WrongCodes:
		return "Am Telefon, das beim Kunden ist, wurden falsche Ziffern versucht; es wartet eine Minute."
	case ask.PhoneHandedOver:
		if p.Back {
			return "Das Telefon ist wieder beim Techniker."
		}
		return "Das Telefon ist beim Kunden."
	case ask.PhonePageOver:
		switch {
		case p.Learning && p.Paused:
			return "Das Einlernen ist unterbrochen: Was bisher gesagt wurde, bleibt erhalten. Es geht weiter, wo es begonnen " +
				"wurde; der Code ist dann neu."
		case p.Learning:
			return "Das Objekt ist eingelernt, seine Datei ist geschrieben."
		case p.Paused:
			return "Der Termin ist unterbrochen: Nichts ist verloren. Er geht weiter, wo er begonnen wurde; der Code ist " +
				"dann neu."
		}
		return "Der Termin ist abgeschlossen."
	}
	return ""
}

func (l Language) phoneHolder(p words.Phrase) string {
	switch p := p.(type) {
	case ask.HolderIs:
		return heldThere(p.Device)
	case ask.HolderWanted:
		return "Noch hat kein Telefon die Fragen"
	case ask.HolderThis:
		return "Dieses Telefon hat die Fragen"
	case ask.TakeFrom:
		return heldThere(p.Device) + ". Von dort übernehmen?"
	}
	return ""
}

func (l Language) phoneBoard(p words.Phrase) string {
	switch p := p.(type) {
	case ask.ItemStands:
		if p.Result == record.LeftOut {
			return germanChecked[p.Result]
		}
		switch p.Result { // of what was outstanding
		case record.Yes:
			return "behoben"
		case record.No:
			return "unverändert"
		}
		return germanAnswers[p.Result]
	case ask.Spoken:
		if p.Verdict == record.Proved {
			return string(p.Point) + " nachgewiesen"
		}
		return string(p.Point) + " nicht nachgewiesen: " + l.Say(p.Verdict)
	case ask.Progress:
		return fmt.Sprintf("%d von %d", p.Done, p.All)
	}
	return ""
}
