package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

var (
	englishLearning = map[ask.LearningMatter]string{
		ask.OpenNext:      "Walk in and open each thing once",
		ask.ThingName:     "What did you open? Give it a name",
		ask.ThingKind:     "What is it?",
		ask.ThingLocation: "Where is it?",
		ask.ZoneOfSeveral: "A name for the zone, now that it has several detectors",
		ask.OneAtATimeAdvice: "One at a time, and close it before you open the next: of two that are open at once on one " +
			"zone, only the first is reported.",
		ask.OnTestAdvice: "A monitored system has to be on test first. Leave hold-up devices, and whatever is for fire or " +
			"gas, alone until then.",
		ask.FindAdvice: "so that it can be found again: shop door, window above wheel 1; back forgets it",
	}
	englishLearningChoices = map[ask.LearningChoice]string{
		ask.SameChoice:    "one of these, again",
		ask.FurtherChoice: "a further detector",
		ask.OtherKind:     "a further one, other kind",
		ask.AllChoice:     "these are all: ask no more",
		ask.BackChoice:    "back",
	}
)

// ofLearning says what is told and asked while a site is learnt.
func (l English) ofLearning(p Phrase) (string, bool) {
	switch p := p.(type) {
	case ask.LearningMatter:
		return englishLearning[p], true
	case ask.LearningChoice:
		return englishLearningChoices[p], true
	case ask.ThingAgain:
		return fmt.Sprintf("%s reports again: %s, which has %s", Brief(p.Address), l.Say(Named(p.Zone)),
			strings.Join(l.named(p.Detectors), ", ")), true
	case ask.AddressReports:
		text := fmt.Sprintf("%s reports %s", Brief(p.Address), englishStates[p.State])
		if p.Raw != "" {
			text += " (" + englishQuotes.Readable(p.Raw, "nothing") + ")"
		}
		return text, true
	case ask.ZoneReportsAgain:
		return fmt.Sprintf("%s reports: %s", Brief(p.Address), l.Say(Named(p.Zone))), true
	case ask.AddressGarbled:
		return fmt.Sprintf("%s says %s, which controller.yaml does not know", Brief(p.Address), englishQuotes.Readable(p.Raw, "nothing")), true
	case ask.Learnt:
		text := fmt.Sprintf("%s is %s, %s", Brief(p.Address), l.Say(Named(p.Detector)), l.Say(p.Kind))
		if p.Zone != p.Detector {
			text += ", on " + l.Say(Named(p.Zone))
		}
		return text, true
	case ask.Forgotten:
		return fmt.Sprintf("taken back: %s; open it again to name it anew", l.Say(Named(p.Detector))), true
	case ask.NothingToForget:
		return "nothing was learnt yet", true
	case ask.NothingHeard:
		return fmt.Sprintf("In %s not one message ever came. See what does: loopwitness listen. Look at broker, user "+
			"and the "+
			"topics in controller.yaml, and at whether the controller is connected.", l.Duration(p.For)), true
	case ask.LearningStatus:
		return fmt.Sprintf("learnt: %d %s, %d %s", p.Zones, plural(p.Zones, "zone", "zones"), p.Detectors,
			plural(p.Detectors, "detector", "detectors")), true
	}
	return "", false
}

func (l English) named(texts []string) []string {
	var all []string
	for _, text := range texts {
		all = append(all, l.Say(Named(text)))
	}
	return all
}
