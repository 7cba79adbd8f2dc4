package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

var germanRefusals = map[ask.PhoneRefusal]string{
	ask.NotPaired:       "This phone is not paired. Take a picture of the code on the terminal.",
	ask.TokenUnknown:    "That address is of another run. Take a picture of the code on the terminal.",
	ask.TokensStopped:   "Too many wrong addresses came from this phone. Wait a minute, then take a picture of the code.",
	ask.TooManyPhones:   "More phones than anybody needs are paired already.",
	ask.OnlyLooksOn:     "This phone only looks on.",
	ask.NotTheHolder:    "Another device holds the questions.",
	ask.WithTheCustomer: "The phone is with the customer: nothing else is possible on it until it is given back.",
	ask.SoundsStill:     "Something is on: switch it off before you hand the phone over.",
	ask.CodeForm:        "Take four digits.",
	ask.CodeWrong:       "Those are not the digits that the phone was handed over with.",
	ask.CodesStopped:    "Too many wrong digits. Wait a minute.",
	ask.NotUnderstood:   "The page and the program do not understand each other. Load the page again.",
	ask.BodyTooLarge:    "That is too large.",
	ask.TapAhead:        "This touch would be in the future: the clocks are compared again. Touch once more.",
	ask.NoSuchKey:       "That cannot be chosen now.",
	ask.NothingSounds:   "Nothing sounds.",
	ask.NoPhotographNow: "No photograph can be taken now.",
	ask.NoTerminal:      "There is no terminal to give the questions back to.",
	ask.VisitOver:       "It is over, or paused.",
}

var germanPairing = map[ask.PairMatter]string{
	ask.PairOnlooker: "For who only looks on:",
	ask.PairPlainHTTP: "Without encryption: whoever is on the same wireless can read and send what the phone does, and " +
		"its screen may go dark while it waits.",
	ask.PairNotReached: "If the phone does not get there: it has to be on the same network as this computer. Guest " +
		"networks keep their devices apart, and a firewall may: let this computer join the phone's own hotspot, then " +
		"begin again.",
	ask.PairWhich: "On which network is the phone?",
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
		return "The questions are at the terminal"
	}
	return "The questions are on the phone " + quoted(device)
}

func (l Language) phoneNotice(p words.Phrase) string {
	switch p := p.(type) {
	case ask.PhoneRefusal:
		return germanRefusals[p]
	case ask.PairMatter:
		return germanPairing[p]
	case ask.PhonePaired:
		if p.Onlooker {
			return "A device that only looks on is paired: " + quoted(p.Device)
		}
		return "A phone is paired: " + quoted(p.Device)
	case ask.HeldByPhone:
		return heldThere(p.Device) + " now."
	case ask.HeldByTerminal:
		return heldThere("") + " now."
	case ask.WrongTokens:
		return "Somebody at " + p.From + " tries wrong addresses of the phone's page; they are made to wait."
	case ask.WrongCodes:
		return "Wrong digits were tried on the phone that is with the customer; it waits a minute."
	case ask.PhoneHandedOver:
		if p.Back {
			return "The phone is with the technician again."
		}
		return "The phone is with the customer."
	case ask.PhonePageOver:
		switch {
		case p.Learning && p.Paused:
			return "Learning is broken off: what was said until now is kept. It goes on where it was begun, and the code is " +
				"new then."
		case p.Learning:
			return "The site is learnt, and its file is written."
		case p.Paused:
			return "The visit is paused: nothing is lost. It goes on where it was begun, and the code is new then."
		}
		return "The visit is complete."
	}
	return ""
}

func (l Language) phoneHolder(p words.Phrase) string {
	switch p := p.(type) {
	case ask.HolderIs:
		return heldThere(p.Device)
	case ask.HolderWanted:
		return "No phone holds the questions yet"
	case ask.HolderThis:
		return "This phone holds the questions"
	case ask.TakeFrom:
		return heldThere(p.Device) + ". Take them from there?"
	}
	return ""
}

func (l Language) phoneBoard(p words.Phrase) string {
	switch p := p.(type) {
	case ask.ItemStands:
		if p.Result == record.LeftOut {
			return germanChecked[p.Result]
		}
		if p.Result == record.Yes || p.Result == record.No { // of what was outstanding
			return strings.ToLower(germanItemsSo[p.Result])
		}
		return germanAnswers[p.Result]
	case ask.Spoken:
		if p.Verdict == record.Proved {
			return string(p.Point) + " proved"
		}
		return string(p.Point) + " not proved: " + l.Say(p.Verdict)
	case ask.Progress:
		return fmt.Sprintf("%d of %d", p.Done, p.All)
	}
	return ""
}
