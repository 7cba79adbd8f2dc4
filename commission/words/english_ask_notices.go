package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// ofNotice says what a technician is told.
func (l English) ofNotice(p Phrase) (string, bool) {
	n, is := p.(ask.Notice)
	if !is {
		return "", false
	}
	if m, is := n.(ask.LoopMeans); is {
		return loopMeans(m.Reading, m.Means), true
	}
	for _, of := range []func(ask.Notice) string{l.trialNotice, l.connectionNotice, l.visitNotice, l.powerNotice,
		l.readingNotice, l.sampledNotice, l.faultNotice, l.guardNotice, l.journalNotice} {
		if text := of(n); text != "" {
			return text, true
		}
	}
	return "", false
}

func (l English) trialNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.Proved:
		return fmt.Sprintf("%s proved: reported after %.2f s, restored after %.2f s",
			n.Point, n.Reported.Seconds(), n.Restored.Seconds())
	case ask.TrialShown:
		return fmt.Sprintf("%s %s: %s", n.Point, n.Shown.Judgement.Verdict, l.Say(n.Shown))
	case ask.ChimeHeard:
		return fmt.Sprintf("%s heard %.1f s after the cue. Bring the zone to rest again.", n.Output, n.After.Seconds())
	case ask.TrialLost:
		return "The connection to the controller was lost, or stood still: this trial does not count. It is taken again."
	case ask.TrialAgain:
		return "This trial is taken again."
	case ask.Meanwhile:
		name := n.Address
		if n.Zone != nil {
			name = l.Say(*n.Zone)
		}
		return fmt.Sprintf("meanwhile %s: %s", name, englishStates[n.State])
	case ask.StrangerMeanwhile:
		return fmt.Sprintf("meanwhile %s reported, which is the address of no zone in the site file", n.Address)
	case ask.ElsewhereMeanwhile:
		return englishElsewhere(n.Zone)
	case ask.ZoneReports:
		return fmt.Sprintf("zone %d reports %s", n.Zone, englishStates[n.State])
	case ask.ZoneGarbled:
		return fmt.Sprintf("zone %d reports %s, which controller.yaml does not know", n.Zone, englishQuotes.Readable(n.Raw, "nothing"))
	case ask.StillActive:
		return "Its zone reports active. Bring it to rest first; if it is at rest, go on all the same: its wiring may be " +
			"inverted."
	case ask.TooSoon:
		return "Too soon after the cue to have been seen: press again once the controller indicates it."
	case ask.NotPrinted:
		return "The certificate cannot show all of these letters: it prints ‹" + strings.Join(n.Scripts, "›, ‹") + "› in " +
			"their place. Type it again in Latin, Greek, Cyrillic or Hebrew letters (redo), or give it a second name in " +
			"site.yaml (printed)."
	case ask.SameMoment:
		return "It was reported in the same moment; watching that it stays."
	case ask.CueTooOld:
		return fmt.Sprintf("This cue cannot be taken any more (%v). It is given again.", n.Why)
	case ask.Restarted:
		return fmt.Sprintf("The controller reported after %.0f s.", n.After.Seconds())
	}
	return ""
}

func (English) connectionNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.SignalsLost:
		return fmt.Sprintf("SIGNALS WERE LOST: %d came faster than the disk takes them. A trial that waited meanwhile "+
			"does not count.", n.Signals)
	case ask.NoCue:
		return "Not connected: no cue is given."
	case ask.LostMeanwhile:
		return "The connection to the controller was lost while you answered."
	case ask.CallsRefused:
		return englishRefused(n)
	case ask.EarLost:
		return englishLost(n.Ear)
	case ask.EarBack:
		return englishBack(n.Ear)
	case ask.NotConnected:
		return "NOT CONNECTED to the controller. You are told when it is back."
	case ask.ConnectedAgain:
		return "The controller is connected again; go on."
	}
	return ""
}

var englishIntroductions = map[programme.Stage]string{
	programme.StageCables:     "Measure and label the cables of the older system before anything is connected to them.",
	programme.StageInspection: "Look before anything is operated.",
	programme.StageWalkTest:   "Operate every detector on its own, then let it go back to rest. Times run from the cue.",
	programme.StageSupply:     "Measure with mains present, then prove that the system lives on without it.",
	programme.StageOutputs:    "Hear, see and time what the system does.",
	programme.StageAlarm:      "One real alarm: set, enter, unset, set again, intrude; each thing that follows is timed.",
	programme.StageHandOver:   "Leave the system and its user ready.",
	programme.StageSignOff:    "Names under what was found.",
}

func (l English) visitNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.StageBegins:
		return l.Say(n.Stage)
	case ask.StageIntroduced:
		return fmt.Sprintf("%d of %d steps open. %s", n.Open, n.All, englishIntroductions[n.Stage])
	case ask.StepsOpen:
		return fmt.Sprintf("%d steps are still open. Conclude each, or say why it is not tested, before anybody signs.",
			n.Open)
	case ask.SignatureLapsed:
		return "A step was taken again after somebody had signed: that signature no longer counts."
	case ask.AnsweredBefore:
		return l.Say(n.What) + ": " + n.Text + " (answered before the break)"
	case ask.SetAside:
		return TornJournal(n.Bytes, n.Lines, n.Left) + " It was set aside in " + n.File + "."
	case ask.PracticeVoltmeter:
		return "Practice: a simulated voltmeter takes the place of yours."
	}
	return ""
}

func (l English) powerNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.LoudCaution:
		return l.Say(judge.CautionSounder)
	case ask.MayBeOn:
		return "Before the break " + strings.Join(n.Outputs, ", ") +
			" was switched on and may still be on. It is switched off now."
	case ask.SwitchOff:
		return "Switch " + n.Output + " OFF now."
	case ask.StillOn:
		return n.Output + " IS STILL ON. Switch it off at the controller, or disconnect it."
	case ask.MakeSureOff:
		return n.Output + " was switched on by hand: make sure that it is OFF."
	case ask.NotSwitchedOn:
		return fmt.Sprintf("%s was not switched on (%v). It is off. Mend it and try again, or leave the test out and say why.",
			n.Output, n.Why)
	case ask.NotSwitchedOff:
		return fmt.Sprintf("%s COULD NOT BE SWITCHED OFF (%v). Switch it off by hand; it is tried again until it works.",
			n.Output, n.Why)
	case ask.SwitchedOff:
		return n.Output + " is switched off now."
	case ask.NotLoaded:
		return strings.Join(n.Outputs, ", ") +
			" had been switched off before you answered: this reading does not count. It is taken again."
	case ask.MainsMayBeOff:
		return "Mains was removed before the break and may still be: the standby battery has been carrying the system since."
	case ask.MainsStillOff:
		return "MAINS IS STILL REMOVED: the standby battery carries the system until the adapter is plugged in again."
	}
	return ""
}
