package words

import "loopwitness/commission/ask/typed"

var englishHints = map[typed.Hint]string{
	typed.BackHint:        "Enter alone goes back",
	typed.LeaveOutHint:    "Enter alone leaves it out",
	typed.WholeYesHint:    "type the whole word yes",
	typed.NoBackHint:      "no goes back",
	typed.FileHint:        "type the name of a PNG or JPEG file",
	typed.NotMeasuredHint: "type none if it cannot be measured",
	typed.OpenLoopHint:    "type open if it reads so",
	typed.CautionWord:     "CAUTION",
	typed.ChoosePrompt:    "choose:",
	typed.AnswerPrompt:    "answer:",
	typed.YesNoPrompt:     "yes or no:",
	typed.TypePrompt:      "type:",
	typed.PauseMeaning:    "pause",
	typed.SpaceKey:        "space",
	typed.ArrowsMeaning:   "arrows, then Enter",
	typed.NothingChosen:   "(no answer yet)",
	typed.ListHint: "rest: all that are open are as they should be; numbers, such as 2 5: these one by one; " +
		"each: all one by one; leave: not now",
	typed.BriefListHint: "rest: so at all that are open; points, such as 2.1 3.4: these have a list of their own; " +
		"each: line by line; leave: not now",
	typed.AllHint:       "all shows the whole board",
	typed.NotPairedHint: "No phone has the questions yet.",
	typed.NoRoomHint: "This window is too small for the code that a camera reads. Make it larger, or type the " +
		"address into the phone's browser.",
	typed.UnencryptedHint: "Nothing of it is encrypted: whoever is on this network can read along, and answer.",
	typed.NotConnected:    "NOT CONNECTED to the controller",
}

// ofTyped says what stands on a screen because a person types.
func (l English) ofTyped(p Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.Hint:
		return englishHints[p], englishHints[p] != ""
	case typed.Example:
		return "for example " + string(p), true
	case typed.QuantityExample:
		return "for example " + string(p), true
	case typed.BuildingShows:
		return "in the practice building: " + p.Text, true
	case typed.OfferHint:
		return p.Option.Word + ": " + l.Say(p.Option.Label), true
	case typed.RedoHint:
		return "type redo to take again: " + l.Say(p.Of), true
	case typed.MeterShows:
		return "the practice voltmeter shows " + p.Text, true
	}
	return l.ofBoard(p)
}
