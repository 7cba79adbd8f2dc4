package words

import (
	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ofAsk says what questions and waits are about, and what helps with them.
func (l English) ofAsk(p Phrase) (string, bool) {
	for _, of := range []func(Phrase) string{l.matter, l.guardMatter, l.advice, l.choice, l.status, l.ofReadings,
		l.sampledChoice, l.faultPhrase, l.ofLists} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	if text, is := p.(ask.Verbatim); is {
		return string(text), true
	}
	return "", false
}

var englishMatters = map[ask.Matter]string{
	ask.ReasonMatter:      "For what reason?",
	ask.DefectMatter:      "What is the defect, and where?",
	ask.NotTestedMatter:   "Why is it not tested?",
	ask.NoteMatter:        "Note, printed on the certificate",
	ask.StageMatter:       "Go on with which stage?",
	ask.StepAgainMatter:   "Take which step again?",
	ask.OtherStepMatter:   "Which one?",
	ask.InsteadMatter:     "What was seen or heard instead?",
	ask.CurrentMatter:     "Its current now, if it is measured",
	ask.CutOffMatter:      "Time after which it stopped by itself, if that was observed",
	ask.LevelMatter:       "Sound level now, and distance, if they are measured",
	ask.LoopMatter:        "Resistance of the loop, disconnected from the controller, everything on it at rest",
	ask.DetectorMatter:    "Go to which detector?",
	ask.OutstandingMatter: "The list above is what stays outstanding",
	ask.AcceptanceMatter:  "Show the list above to the customer's representative",
	ask.TechnicianMatter:  "Technician's name",
	ask.LicenceMatter:     "Technician's licence or registration, if one is required",
	ask.CustomerMatter:    "Customer's representative: name",
	ask.PositionMatter:    "Their position",
	ask.RefusalMatter:     "What do they say?",
	ask.CalledMatter:      "How do they wish to be named? Leave it empty where they do not.",
	ask.AbsenceMatter:     "Why does nobody sign for the customer?",
	ask.CalibrationMatter: "Calibration valid until, if known",
	ask.UncertaintyMatter: "Uncertainty of its readings near 12 V (95 %), if known",
	ask.PowerBackMatter:   "Say ready at the moment you give the power back",
	ask.FirstReportMatter: "Waiting for the controller's first report",
	ask.StrikeMatter:      "At which detector was a trial spoiled?",
	ask.SpoiledMatter:     "What spoiled it?",
}

func (l English) matter(p Phrase) string {
	switch p := p.(type) {
	case ask.Matter:
		return englishMatters[p]
	case ask.NotProved:
		return l.Say(p.Step) + " was not proved"
	case ask.NotHeard:
		return l.Say(p.Step) + " was not heard"
	case ask.Identify:
		return l.Say(p.Step) + ": kind and identifier"
	case ask.SupplyVoltage:
		return l.Say(p.Step)
	case ask.ToEnergise:
		if p.Location != "" {
			return fmt.Sprintf("%s (%s, %s)", p.Output, englishOutputs[p.Kind], p.Location)
		}
		return fmt.Sprintf("%s (%s)", p.Output, englishOutputs[p.Kind])
	case ask.Observed:
		return fmt.Sprintf("%s is on. Was it %s clearly?", p.Output, map[bool]string{true: "seen", false: "heard"}[p.Seen])
	case ask.ObservedUntil:
		why := ""
		if p.Why != "" {
			why = ", " + l.Say(p.Why)
		}
		return fmt.Sprintf("%s is OFF since %s%s, after %s. Was it %s clearly while it was on?", p.Output,
			p.At.Format(time.TimeOnly), why, checks.FormatDuration(p.On.Round(100*time.Millisecond)),
			map[bool]string{true: "seen", false: "heard"}[p.Seen])
	case ask.Protected:
		return "Hearing protection on, nobody near " + strings.Join(p.Outputs, ", ") + "? It is energised then"
	case ask.TakeAgain:
		return l.Say(p.Step) + " is concluded. Try it once more? Until then it counts as open"
	case ask.SwitchedOnByHand:
		return "Switch " + p.Output + " on by hand at the controller. Is it switched on?"
	case ask.SwitchedOffByHand:
		return "Is " + p.Output + " switched off?"
	case ask.GoTo:
		return "Go to " + l.Say(p.Step)
	case ask.Now:
		if p.Listen {
			return "NOW " + l.Say(p.Do) + ", and listen for " + p.Step.Output
		}
		return "NOW " + l.Say(p.Do) + ": " + l.Say(p.Step)
	case ask.OnStandby:
		return "Wait on standby: " + l.Say(p.Step)
	case ask.Outstanding:
		return p.Finding.ID + " " + l.Say(p.Finding.Subject) + ": " + l.Say(p.Finding)
	case ask.NothingOutstanding:
		return "No findings and no limitations are outstanding."
	case ask.ResultStands:
		return "Result of this visit, once it is signed: " + l.Say(p.Result) + "."
	case ask.SignatureOf:
		if p.Role == programme.Customer {
			return "Signature of " + p.Name + ", for the customer, under this result and the list of what is outstanding"
		}
		return "Signature of " + p.Name + ", technician, under this result and the list of what is outstanding"
	}
	return ""
}

var englishAdvice = map[ask.Advice]string{
	ask.RepairAdvice:      "Repeat it after a repair, or leave it as it is: it will be a finding.",
	ask.RepeatAdvice:      "Repeat it, or leave it as it is: it will be a finding.",
	ask.PrintedAdvice:     "The reason is printed on the certificate",
	ask.BothWaysAdvice:    "It will be energised and switched off again.",
	ask.OffByAnswerAdvice: "No switches it off; yes leaves it on for what is measured, and then switches it off.",
	ask.ByHandAdvice:      "You switch it on and off by hand: the program cannot.",
	ask.AllPowerAdvice:    "Adapter and battery are both disconnected. " + englishCautions[judge.CautionMains],
	ask.PathAdvice:        "Only then is it proved that reports leave the premises when mains fails.",
	ask.PutRightAdvice:    "Go back if something of it can still be put right.",
	ask.AcceptAdvice:      "Their name accepts what is listed, each by its number.",
	ask.StrokesAdvice:     "Dark strokes on a plain ground, drawn or photographed; it proves nothing about who drew it",
	ask.TerminalsAdvice:   "At the controller's supply terminals",
	ask.LevelAdvice:       "With the level when it is off and the class of the meter, where they are known",
	ask.DataSheetAdvice:   "From its data sheet or calibration",
	ask.IdentifierAdvice:  "For example: multimeter, serial 0417",
	ask.AnnounceAdvice:    "announce it first: its signal frightens people and may call help",
	ask.LifeSafetyAdvice:  "life safety: the fire code decides how it is tested; here only its signal is timed",
	ask.OperateNearAdvice: "then operate the nearest detector again and again until it is reported",
	ask.UndertakeAdvice:   "what is undertaken is printed on the certificate",
	ask.NotAtOnceAdvice:   "With a clamp, or a meter in series that was there before; open no supply for it now",
	ask.FarAdvice:         "At the detector's own supply terminals, while all outputs are on",
	ask.SpoiledAdvice:     "It is kept and shown with the reason, and counts no more",
	ask.UntilItStops:      "Say so at the moment it stops. Leaving switches it off",
}

func (English) advice(p Phrase) string {
	switch p := p.(type) {
	case ask.Advice:
		return englishAdvice[p]
	case ask.SoundsWhile:
		return strings.Join(p.Outputs, ", ") + ": all on while you read the meters."
	case ask.StepsLeft:
		return fmt.Sprintf("%d of %d still to do", p.Open, p.All)
	case ask.Where:
		return "where: " + p.Location
	}
	return ""
}

var englishChoices = map[ask.Choice]string{
	ask.LeaveChoice:         "not now: leave this stage",
	ask.PauseChoice:         "pause the visit",
	ask.NoneChoice:          "none",
	ask.OtherChoice:         "another one, by its number or name",
	ask.DoneChoice:          "done, it is so",
	ask.NotApplicableChoice: "not applicable here, with a reason",
	ask.DefectChoice:        "defect, with a note",
	ask.BackToListChoice:    "back to the list",
	ask.UsualActionChoice:   "put right, and tested again",
	ask.PutRightChoice:      "put right since, I looked",
	ask.StillSoChoice:       "still so",
	ask.NotLookedAtChoice:   "not looked at, with a reason",
	ask.AllLaterChoice:      "all of them later",
	ask.NotCheckedChoice:    "not checked, with a reason",
	ask.AgainChoice:         "try again",
	ask.AsItIsChoice:        "leave it as it is",
	ask.NoteChoice:          "write a note",
	ask.NotTestedChoice:     "not tested, with a reason",
	ask.JustDoneChoice:      "done just now",
	ask.CannotChoice:        "cannot be done here, with a reason",
	ask.PathYesChoice:       "yes, it has lost mains too and goes on working",
	ask.PathNoChoice:        "no, it stayed on mains: a limitation",
	ask.PathNothingChoice:   "nothing of the kind is in the way",
	ask.PathUnknownChoice:   "not known, with a reason",
	ask.PowerOffChoice:      "all power is off now: go on",
	ask.SignChoice:          "it is right, and was done with skill and care: sign",
	ask.AcceptChoice:        "they accept it",
	ask.RefuseChoice:        "they do not accept it, with what they say",
	ask.AbsentChoice:        "nobody is there to sign, with a reason",
	ask.StrikeChoice:        "strike a trial that was spoiled, with a reason",
	ask.ChargedYesChoice:    "yes",
	ask.ChargedNoChoice:     "no",
	ask.NotKnownChoice:      "not known",
	ask.NotMeasuredChoice:   "not measured: leave it out",
	ask.ValueChoice:         "so, and type what stands beside it",
}

var englishKeys = map[ask.Key]string{
	ask.Ready:       "ready",
	ask.Indicated:   "the controller indicates it",
	ask.AtRest:      "the controller indicates rest",
	ask.Heard:       "heard it",
	ask.Again:       "again",
	ask.Silent:      "nothing came",
	ask.Skip:        "skip, with a reason",
	ask.Note:        "note",
	ask.Ohms:        "ohms of the loop",
	ask.Jump:        "jump to another",
	ask.Look:        "look: answer what is looked at here",
	ask.Leave:       "leave this stage",
	ask.Redo:        "take the last reading or answer again",
	ask.Stopped:     "it stopped by itself",
	ask.Quiet:       "silence it now",
	ask.Count:       "count down to the cue",
	ask.Roam:        "move freely, in any order",
	ask.InOrder:     "go in order again",
	ask.Touch:       "I operate it now",
	ask.NotThat:     "wrong: it was not that one",
	ask.RoomDone:    "end of this room: all of it was operated",
	ask.TakeBack:    "take the questions back",
	ask.ShowPairing: "pairing or board",
	ask.ShowAll:     "all or what is open",
	ask.NextPage:    "next page",
	ask.Finish:      "that was all",
	ask.Forget:      "take the last one back",
	ask.Interrupted: "interrupted",
	ask.Gone:        "gone",
}

func (l English) choice(p Phrase) string {
	switch p := p.(type) {
	case ask.Choice:
		return englishChoices[p]
	case ask.Key:
		return englishKeys[p]
	case ask.EnergiseChoice:
		return "energise " + strings.Join(p.Outputs, ", ")
	case ask.StageChoice:
		if p.Open == 0 {
			return fmt.Sprintf("%s: all %d concluded; take one again", l.Say(p.Stage), p.All)
		}
		return fmt.Sprintf("%s: %d of %d open", l.Say(p.Stage), p.Open, p.All)
	}
	return ""
}

func (l English) status(p Phrase) string {
	switch p := p.(type) {
	case ask.TrialStatus:
		text := fmt.Sprintf("%5.1f s  of %.0f s, limit %.0f s", p.Since.Seconds(), p.ListenFor.Seconds(), p.Limit.Seconds())
		switch p.State {
		case signal.Unknown:
			return text
		case signal.NotUnderstood:
			return text + fmt.Sprintf("  it reports %s, which controller.yaml does not know", englishQuotes.Readable(p.Raw, "nothing"))
		}
		return text + fmt.Sprintf("  %s after %.2f s, watching that it stays", englishStates[p.State], p.After.Seconds())
	case ask.ListenStatus:
		return fmt.Sprintf("%5.1f s  of %.0f s", p.Since.Seconds(), p.ListenFor.Seconds())
	case ask.RestartStatus:
		return fmt.Sprintf("%.0f s, limit %.0f s", p.Since.Seconds(), p.Limit.Seconds())
	case ask.LeftStatus:
		return l.Duration(p.Left) + " left"
	}
	return ""
}

var englishStates = map[signal.State]string{
	signal.Unknown:       "nothing that is known",
	signal.Active:        "active",
	signal.Restored:      "restored",
	signal.Tamper:        "tamper",
	signal.Trouble:       "trouble",
	signal.NotUnderstood: "not understood",
}

// englishOutputs are the kinds of outputs.
var englishOutputs = map[site.OutputKind]string{
	site.Sounder: "sounder", site.Strobe: "strobe", site.Chime: "chime",
}
