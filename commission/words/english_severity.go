package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

var englishSeverities = map[judge.Severity]string{
	judge.Danger: "danger: act now", judge.Fault: "to do: to be put right, or tested",
	judge.Advice: "advice: worth knowing",
}

// englishRemedies say what to do, as one sentence without its stop.
var englishRemedies = map[judge.Remedy]string{
	judge.StopCharging:   "stop charging and disconnect the battery now; fit charger and battery that belong together",
	judge.PutRight:       "put it right and test it again",
	judge.TestIt:         "test it",
	judge.TimeIt:         "operate it again at a cue or a touch, where it matters how fast it reports",
	judge.MeasureIt:      "measure or watch it, with an instrument that is exact enough",
	judge.ReadAgain:      "read it again, or prove the battery by a discharge test",
	judge.RenewBattery:   "renew the battery, and dispose of the old one as the local rules ask",
	judge.SizeSupply:     "fit a larger adapter or battery, or draw less",
	judge.ShortenRun:     "take thicker cable, double the cores, or feed it nearby",
	judge.DeclareIt:      "write it in the site file",
	judge.CorrectMap:     "correct controller.yaml",
	judge.LowerRisk:      "agree with the customer how this risk is lowered",
	judge.GetCalibrated:  "have the instrument calibrated",
	judge.AgreeIt:        "agree it with the customer",
	judge.RestoreNow:     "restore mains now",
	judge.SeeOtherVisit:  "read it together with the visit that it follows",
	judge.FollowFireCode: "have the rest tested as the fire code asks",
	judge.TakeInEarnest:  "take the visit at the installation",
	judge.FitResistor:    "fit a resistor at the end of the line, if the controller can read it, or tell the customer",
	judge.AskMaker:       "ask the maker of the battery at what voltage it may stand for years",
	judge.CompareClocks:  "raise an alarm again and ask the centre what its clock shows then",
	judge.PutBack:        "put its file back, or take it back, and certify again",
	judge.CheckPower: "look at the change-over of the controller's supply and at the power of the router, and try " +
		"again",
	judge.ExplainIt: "do not rely on it before whoever made the record has explained it",
	judge.LookAhead: "look for the cause and put it right before it fails",
	judge.NoRemedy:  "nothing to be done",

	judge.TakeNextTime: "take them at a later visit, those first that were proved longest ago",
	judge.TakeReading:  "measure it",
	judge.LoadTest:     "check terminals and fuse, load-test the battery, and renew it if that confirms it",
	judge.DoIt:         "do it, or answer it",
	judge.TakeOffTest:  "call the receiving centre and have the system taken off test now",
	judge.ReadEarlier:  "put its journal back from a copy, and read it together with this certificate",
}

// ofSeverity says how grave findings are and what to do about them.
func (l English) ofSeverity(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Severity:
		return englishSeverities[p], englishSeverities[p] != ""
	case judge.Remedy:
		return englishRemedies[p], englishRemedies[p] != ""
	case judge.Terminal:
		return englishTerminals[p], englishTerminals[p] != ""
	case site.Form:
		return string(p), p != ""
	case judge.NotComputed:
		return l.notComputed(p), true
	case judge.StillOnTest:
		return "the system may still be on test: nobody would respond", true
	case judge.Unwatched:
		var zones []string
		for _, z := range FewZones(p.Zones) {
			zones = append(zones, l.Say(z))
		}
		return "a cut cable looks like rest at the controller, and nobody is told of it: " + strings.Join(zones, "; "), true
	case judge.FloatDisputed:
		return fmt.Sprintf("%.2f V a cell charges it; whether it may stand so for years is disputed", p.PerCell), true
	case judge.RestsOnDefaults:
		return l.restsOnDefaults(p), true
	case judge.LimitsAssumed:
		return "nobody declared " + plainKeys(p.Keys) + "; common practice was taken", true
	case judge.PowerUnknown:
		return "of kinds that take power, but the site file does not say what they draw: " + points(p.Of), true
	case judge.NoOutput:
		return "no sounder is described: nothing on the premises tells of an alarm", true
	case judge.NoCentre:
		return "the site file does not say who receives the alarms", true
	case judge.NoVoltmeter:
		return "no voltmeter was at hand: no voltage was measured", true
	case judge.SwitchOverUnseen:
		return "whether the controller goes on when mains goes was not watched: the visit was broken off, or this " +
			"computer slept, within a minute of it", true
	case judge.ReportingInterrupted:
		return "reporting was interrupted for " + seconds(p.For) + " while mains was removed", true
	case judge.SwitchOverLost:
		return "reporting was lost " + seconds(p.After) + " after mains was removed, " +
			"though nothing on its way was said to need mains", true
	}
	return "", false
}

// englishComputations name what was not computed, by the row's code.
var englishComputations = map[string]string{
	"adapter": "the load on the adapter", "output-limit": "the load on the controller's outputs",
	"charger": "whether charger and battery fit", "recharge": "the time to recharge", "standby": "the standby time",
	"energy": "the standby time", "drop": "the voltage", "charging": "whether the battery is charged",
	"internal": "the battery's resistance against its first value", "sag": "the battery without mains",
	"system": "what the whole system draws on standby", "system-alarm": "what the whole system draws in alarm",
	"far": "the voltage at the farthest detector", "age": "the battery's age",
	"current": "what an output draws", "level": "the sound level", "together": "the sounders together",
	"loop": "what a loop reading means", "continuity": "the continuity of a cable",
	"insulation": "the insulation of a cable", "cut-off": "the cut-off", "margin": "the sound level against the ambient " +
		"one",
}

// computation names a row by its code, and the detectors that it is about.
func computation(row string, of []site.Point) string {
	if len(of) == 0 {
		return englishComputations[row]
	}
	return englishComputations[row] + " at " + points(of)
}

func (l English) restsOnDefaults(p judge.RestsOnDefaults) string {
	var rows []string
	for _, r := range p.Rows {
		rows = append(rows, computation(r.Row, r.Of))
	}
	return "holds only by usual values that nobody declared (" + plainKeys(p.Keys) + "): " +
		strings.Join(rows, "; ")
}

func (l English) notComputed(p judge.NotComputed) string {
	return "not judged: " + computation(p.Row, p.Of) + "; " + l.lacking(p.Lacks)
}

// points lists detectors, at most a dozen.
func points(of []site.Point) string {
	const most = 12
	var texts []string
	for i, p := range of {
		if i == most {
			return fmt.Sprintf("%s and %d more", strings.Join(texts, ", "), len(of)-most)
		}
		texts = append(texts, string(p))
	}
	return strings.Join(texts, ", ")
}
