package words

import (
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofFound says what is asked of an existing system, and how it was found.
func (l English) ofFound(p Phrase) (string, bool) {
	switch p := p.(type) {
	case Heading:
		return englishFoundHeadings[p], englishFoundHeadings[p] != ""
	case Column:
		return englishFoundColumns[p], englishFoundColumns[p] != ""
	case Note:
		return englishFoundNotes[p], englishFoundNotes[p] != ""
	case FoundText:
		if word := englishToldWords[ask.ToldWord(p.Text)]; p.Key == programme.ToldReal && word != "" {
			return word, true
		}
		return named(p.Text), true
	case KeyOf:
		return keyName(string(p)), true
	case site.Group:
		return englishGroups[p], englishGroups[p] != ""
	case record.How:
		return englishHows[p], true
	case programme.WiringName:
		return string(p), true
	case judge.NotKnown:
		text := "not known, and nothing was assumed in its place: " + listOfKeys(p.Keys)
		if slices.Contains(p.Keys, wiringKey) {
			text += "; so its loop cannot be held against anything"
		}
		return text, true
	case judge.TakenAs:
		return "the site file does not say it, and nobody was asked; taken as on the controller's terminals: " +
			plainKeys(p.Keys), true
	case FoundLoop:
		if p.Open {
			return l.Say(OpenLoop{}), true
		}
		return unitSigns.Replace(p.Typed), true
	case judge.NotToldOf:
		return "nobody knew: " + listOfKeys(p.Keys), true
	case judge.BeyondExtent:
		return "this visit was about other detectors; left out: " + points(p.Of), true
	case judge.ExtentNotSaid:
		return "it was not said which detectors are concerned", true
	case ask.ToldValue:
		return englishToldQuestions[p.Key], true
	case ask.WhichConcerned:
		return "Which detectors are concerned, by their points? They are taken first. Nothing where none is in particular",
			true
	case ask.AndTheOthers:
		return fmt.Sprintf("And the other %d?", p.Others), true
	case ask.ToldWord:
		return englishToldWords[p], true
	case ask.Matter:
		if p == ask.UnknownMatter {
			return "Why can it not be known?", true
		}
	case ask.FoundHow:
		return l.Say(p.Step) + ". The site file does not say: " + listOfKeys(p.Keys) + ". How is it found?", true
	case ask.FoundValue:
		return l.Say(p.Step) + ": " + keyName(p.Key), true
	case ask.RatingIn:
		return l.Say(p.Step) + ": what does it give?", true
	case ask.RestingLoop:
		return l.Say(p.Step) + ": resistance of the loop, disconnected from the controller, everything on it at rest; " +
			"nothing where it cannot be measured", true
	case ask.Choice:
		return englishFoundChoices[p], englishFoundChoices[p] != ""
	case ask.Advice:
		if p == ask.FoundAdvice {
			return "Nothing where it cannot be known: that limits the visit, and nothing is assumed in its place", true
		}
	}
	return "", false
}

const wiringKey = "zones[].wiring"

var englishFoundHeadings = map[Heading]string{
	FoundHeading: "Found on the premises, not in the site file",
	ToldHeading:  "As it was told",
}

var englishFoundNotes = map[Note]string{
	FoundNote: "What stands here was taken as if the site file had it. What could not be known is a limitation: nothing " +
		"was assumed in its place.",
	UnheldNote: "A loop of a circuit whose wiring is not known stands as it was read: it is held against nothing.",
}

var englishFoundColumns = map[Column]string{PartColumn: "Part", KeyColumn: "What", HowColumn: "How"}

var englishGroups = map[site.Group]string{
	site.GroupController: "Controller, what its plate says",
	site.GroupAdapter:    "Adapter, what its plate says",
	site.GroupCharger:    "What charges the battery",
	site.GroupForm:       "How the battery stands in the supply",
	site.GroupBattery:    "Standby battery, what is on it",
	site.GroupWiring:     "Wiring of the circuit",
	site.GroupCable:      "Cable of the circuit",
	site.GroupPowered:    "Power of the detector",
	site.GroupOutput:     "What the output draws",

	programme.GroupHistory: "Where the system comes from",
	programme.GroupEvent:   "What happened",
	programme.GroupCause:   "What it was, and what became of it",
}

// foundName is what a step is called at which something of a part is found.
func (l English) foundName(n programme.Name) string {
	text := l.Say(n.Group)
	switch {
	case n.Detector != nil:
		return text + ": " + l.Say(*n.Detector)
	case n.Zone != nil:
		return text + ": " + l.Say(*n.Zone)
	case n.Output != "":
		return text + ": " + named(n.Output)
	}
	return text
}

var englishHows = map[record.How]string{
	record.FromPlate: "read from its plate", record.FromPapers: "from papers that were handed over",
	record.ByMeter: "measured here", record.ByWord: "told by somebody",
}

var englishFoundChoices = map[ask.Choice]string{
	ask.CannotKnowChoice:  "nothing of it can be known, with a reason",
	ask.DirectChoice:      "direct current, in A",
	ask.AlternatingChoice: "alternating current that the controller rectifies, in VA",
	ask.TestThemChoice:    "they are tested, too",
	ask.LeaveThemChoice:   "they are left out, with a reason; their list limits the visit",
	ask.YesChoice:         "yes, it sounds from a battery of its own",
	ask.NoChoice:          "no",
}

// keyName is what a key of the site file is of a part, in a few words.
func keyName(key string) string {
	if name := englishFoundKeys[key]; name != "" {
		return name
	}
	return key
}

func listOfKeys(keys []string) string {
	var names []string
	for _, k := range keys {
		names = append(names, keyName(k))
	}
	return strings.Join(names, "; ")
}

var englishToldQuestions = map[string]string{
	"history.by":           "Who installed the system, as far as it is known?",
	"history.when":         "When was it installed, and what was renewed since?",
	"history.disconnected": "What was found disconnected, bridged or switched off? Say so where nothing was",
	"history.cable":        "What is known of the cable: its age, where it goes, what of it was there before?",
	"event.told":           "What happened, as it was told?",
	"event.when":           "When was it, by whose word or clock?",
	"event.log":            "What does the controller's log show of it: which detectors, in which order, when?",
	"event.real":           "What was it?",
	"event.cause":          "Which cause was found, and how? Say so where none was",
	"event.done":           "What was damaged, and what was put right?",
	"event.false_alarms":   "How many false alarms does the log show since the last visit, this one included?",
	"event.informed":       "Who was told of it and of what was found?",
}

var englishToldWords = map[ask.ToldWord]string{
	programme.RealAlarm: "a real alarm", programme.FalseAlarm: "a false alarm",
	programme.Failure:   "a failure of the system",
	programme.Undecided: "it could not be told",
}

var englishFoundKeys = map[string]string{
	"history.by":           "who installed it",
	"history.when":         "when, and what was renewed",
	"history.disconnected": "what was found disconnected",
	"history.cable":        "what is known of the cable",
	"event.told":           "as told",
	"event.when":           "when",
	"event.log":            "the controller's log",
	"event.real":           "what it was",
	"event.cause":          "cause",
	"event.done":           "damage, and what was put right",
	"event.false_alarms":   "false alarms since the last visit",
	"event.informed":       "who was told",

	"controller.current":         "current that it draws itself",
	"controller.detector_output": "the most that its supply for detectors gives",
	"controller.alarm_output":    "the most that its outputs for sounders and strobes give",
	"supply.adapter.rating":      "its rating",
	"supply.adapter.voltage":     "its voltage",
	"supply.charger.voltage":     "voltage that it charges with",
	"supply.charger.current":     "the most current that it gives",
	"supply.battery.form": "whether it stands directly on the charger, behind a converter, or in a " +
		"pack",
	"supply.battery.cells":                     "cells in series",
	"supply.battery.capacity":                  "capacity",
	"supply.battery.energy":                    "energy of the pack",
	"supply.battery.output":                    "voltage that its converter gives",
	"supply.battery.fitted":                    "day on which it was fitted",
	string(FoundLoopKey):                       "loop, as it was read",
	"zones[].wiring":                           "how contacts and resistors are joined",
	"zones[].end_of_line":                      "resistor at the end of the circuit",
	"zones[].contact_resistor":                 "resistor at each contact",
	"zones[].fault_resistor":                   "third resistor, across the fault or tamper contact",
	"zones[].cable.length":                     "length of the cable, one way",
	"zones[].cable.conductor":                  "conductor of the cable",
	"zones[].detectors[].powered.current":      "current that it draws",
	"zones[].detectors[].powered.minimum":      "least voltage at which it works",
	"zones[].detectors[].powered.cable_length": "length of the cable that feeds it, one way",
	"zones[].detectors[].powered.conductor":    "conductor of that cable",
	"outputs[].current":                        "current while it is on",
	"outputs[].own_battery":                    "whether it sounds from a battery of its own",
}
