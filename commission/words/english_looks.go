package words

import (
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

var englishLooks = map[programme.ItemCode]look{
	"gap":     {"Contact and magnet face each other with the gap that their maker asks for", "gap and magnet"},
	"play":    {"The closed leaf has no play that moves the magnet away", "no play"},
	"warm-up": {"After power came on, the warm-up that its maker states was waited for", "warm-up"},
	"edges":   {"It was walked at the edges of what it is to see, and where it is not to see anything", "edges walked"},
	"masking": {"Covering its window is reported, if it is made to notice that", "masking"},
	"lamp":    {"Its walk-test lamp is off, or as the customer wants it", "lamp"},
	"view": {"Nothing warm or moving stands in its view, and no animal lives there that it is not made for",
		"heat, movement, animals"},
	"tamper":    {"Opening its cover is reported", "cover"},
	"tester":    {"It was tried with a tester made for it; the kind of tester", "kind of tester"},
	"announced": {"Whoever may answer its signal was told before it was pressed", "announced"},
	"guarded":   {"Nobody can set it off by leaning, cleaning or catching on it", "not by accident"},
	"latched":   {"It stayed in alarm until its supply was interrupted, and was at rest after that", "latches, resets"},
	"relay":     {"The relay at the end of its supply line reports that the supply is gone", "supervision relay"},
}

// englishAgreed are lines about the network, about what was agreed, and those with a value.
var englishAgreed = map[programme.ItemCode]string{
	"extent":       "What this visit covers, and what it leaves out, was agreed with the customer before it began",
	"on-test":      "The receiving centre has put the system on test; its reference",
	"on-test-from": "On test from",
	"off-test": "The receiving centre has taken the system off test and has confirmed the signals it received, " +
		"at",
	"sounder-tamper": "Opening the sounder, and prising it off its wall, is reported",
	"passwords":      "No password of the controller, its application or its network device is the one it came with",
	"remote-access":  "Who can reach the system from elsewhere, and what they can do, was agreed with the customer",
	"software":       "The controller's software is current, or the customer knows why it is not",
	"ports":          "Nobody outside can open a connection to the controller: the router lets none in",
	"clock-source":   "The controller sets its clock by a source that it can reach",
	"network-still":  "Passwords and remote access are as agreed, the router lets nobody in, the software is current",
	"keyholders":     "Keyholders and who responds to an alarm are known to customer and centre",
	"log-book-place": "The log book's place",
	"agreement":      "Maintenance agreement",
	"records":        "This record is kept",
	"next-visit":     "The next visit was agreed for",
	"persons": "Who signs as technician has tested alone and authorises this record, but for whom is named " +
		"beside",
	"temporary": "Nothing was left disabled or mended for the time being, but what is named beside, and by " +
		"whose wish",
	"earlier-records":    "Records of earlier visits were at hand, or it stands beside who holds them",
	"log":                "The controller's log was read",
	"false-alarms-since": "No false alarm since the last visit, but those whose number and cause stand beside",
	"clock-error":        "The controller's clock was right, or was set and its error stands beside",
	"parts":              "No part was replaced and no battery renewed, but what is named beside",
}

// englishFurther are lines that only a company's own list names.
var englishFurther = map[programme.ItemCode]string{
	"adapter":       "The adapter's rating covers the load of the whole system while the battery recharges",
	"adapter-still": "The adapter's rating still covers the load of everything that is fitted now",
	"path-power":    "The router or gateway on the way off the premises has standby power too",
	"clock":         "The controller's clock is right, or was set",
}

var englishKindNames = map[site.DetectorKind]string{
	"door": "door contacts", "window": "window contacts", "motion": "motion detectors",
	"glass-break": "glass-break detectors", "hold-up": "hold-up devices", "tamper": "tamper contacts",
	"smoke": "smoke detectors", "carbon-monoxide": "carbon-monoxide detectors", "flood": "flood detectors",
	"other": "other detectors",
}

func englishItem(c programme.ItemCode) string {
	if text := englishItems[c]; text != "" {
		return text
	}
	if text := englishAgreed[c]; text != "" {
		return text
	}
	if text := englishContentItems[c]; text != "" {
		return text
	}
	if text := englishFurther[c]; text != "" {
		return text
	}
	return englishLooks[c].text
}

// shortLook reminds of a line; of a company's own, its beginning does.
func shortLook(n programme.Name) string {
	if n.Text != "" {
		return screen.Cut(n.Text, 24)
	}
	if short := englishLooks[n.Item].short; short != "" {
		return short
	}
	return screen.Cut(englishItem(n.Item), 24)
}

// ofLooks says what is asked and told about what is looked at, and about values.
func (l English) ofLooks(p Phrase) string {
	switch p := p.(type) {
	case ask.LooksMatter:
		if p.Detector != nil {
			return fmt.Sprintf("%s: %d of %d lines open", briefly(*p.Detector), p.Open, p.All)
		}
		text := fmt.Sprintf("So at every one of the %s? %d of %d open", englishKindNames[p.Of], p.Open, p.All)
		if p.LeftOut > 0 {
			text += fmt.Sprintf("; %d not tested, and left out here too", p.LeftOut)
		}
		return text
	case ask.LookLine:
		return l.Say(p.Name)
	case ask.LooksHere:
		var short []string
		for _, n := range p.Lines {
			short = append(short, shortLook(n))
		}
		return "to look at here: " + strings.Join(short, "; ")
	case ask.WithValue:
		return l.Say(p.Line) + ": " + quoted(p.Value)
	case ask.ValueMatter:
		if p.Of != "" {
			return l.Say(p.Line) + ", at all " + englishKindNames[p.Of]
		}
		return l.Say(p.Line)
	}
	return ""
}
