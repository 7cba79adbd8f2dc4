package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ofProgramme says what steps, stages, zones and detectors are called.
func (l Language) ofProgramme(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case programme.Name:
		return l.stepName(p), true
	case programme.ZoneName:
		return fmt.Sprintf("zone %d, %s", p.Number, named(p.Name)), true
	case programme.DetectorName:
		return l.detectorName(p), true
	case programme.Operating:
		return germanOperating[p.Kind], true
	case programme.Restoring:
		return germanRestoring[p.Kind], true
	case programme.Hint:
		return l.hint(p), true
	case programme.Stage:
		return string(p), true
	case programme.VisitKind:
		return germanVisits[p], germanVisits[p] != ""
	case programme.Role:
		return string(p), true
	case programme.ItemCode:
		return germanItem(p), germanItem(p) != ""
	}
	return "", false
}

var germanVisits = map[programme.VisitKind]string{
	programme.Handover:    "hand-over visit",
	programme.Maintenance: "maintenance visit",
	programme.Retest:      "retest after repair",
	programme.TakeOver:    "take-over of an existing system",
	programme.AfterAlarm:  "visit after an alarm",
}

func (l Language) detectorName(d programme.DetectorName) string {
	name := briefly(d) + " (" + l.Say(d.Zone) + ")"
	if d.OnStandby {
		name += ", on standby"
	}
	return name
}

// briefly is a detector where its zone need not be named.
func briefly(d programme.DetectorName) string { return string(d.Point) + " " + named(d.Name) }

// englishSupplySteps are the steps of the supply that have their own names.
var germanSupplySteps = map[string]string{
	programme.IDVoltmeter:      "The voltmeter that the supply is measured with",
	programme.IDMainsPresent:   "Supply voltage, mains present",
	programme.IDMainsOff:       "Unplug the adapter, or switch its outlet off; open no mains wiring",
	programme.IDPath:           "Is the router or gateway on the way off the premises off mains as well?",
	programme.IDAlarmLoad:      "Supply voltage, mains removed, all outputs on",
	programme.IDMainsOn:        "Plug the adapter in again",
	programme.IDMainsBack:      "Supply voltage, mains restored",
	programme.IDCharged:        "Has the battery been on charge without interruption?",
	programme.IDStandbyCurrent: "Current of the whole system, mains removed, at rest",
	programme.IDAlarmCurrent:   "Current of the whole system, mains removed, all outputs on",
	programme.IDCharging:       "Supply voltage, some time after mains was restored",
	programme.IDRestart:        "Cold restart: all power off and on again, and the time until the controller reports",
}

func (l Language) stepName(n programme.Name) string {
	if text := germanSupplySteps[n.ID] + germanFaultSteps[n.ID]; text != "" {
		return text
	}
	switch n.Kind {
	case programme.StepCheck:
		text := n.Text
		if text == "" {
			text = l.Say(n.Item)
		}
		if n.Detector != nil { // it is of what is looked at there
			return briefly(*n.Detector) + ": " + text
		}
		return text
	case programme.StepDetector:
		return l.Say(*n.Detector)
	case programme.StepOutput:
		return n.Output
	case programme.StepOutstanding:
		return l.outstandingStep(n)
	case programme.StepReading:
		if n.Detector != nil {
			return "Voltage at the farthest powered detector, mains removed, all outputs on: " + l.Say(*n.Detector)
		}
	case programme.StepChime:
		return fmt.Sprintf("%s with zone %d", n.Output, n.Zone.Number)
	case programme.StepExtent:
		return "Which detectors are concerned"
	case programme.StepFound:
		return l.foundName(n)
	case programme.StepSign:
		return "Name of the " + l.Say(n.Role)
	}
	text := "Supply voltage, mains removed"
	if n.After > 0 {
		text += ", after " + l.Duration(n.After)
	}
	return text
}

// What a technician does with each kind of detector.
var (
	germanOperating = map[site.DetectorKind]string{
		"door":            "open the door",
		"window":          "open the window",
		"motion":          "walk across its field of view",
		"glass-break":     "use the tester made for this detector",
		"hold-up":         "press the hold-up button",
		"tamper":          "lift the cover",
		"smoke":           "apply test smoke as its maker says",
		"carbon-monoxide": "apply test gas as its maker says",
		"flood":           "bridge the probes with a damp cloth",
		"other":           "operate the detector",
	}
	germanRestoring = map[site.DetectorKind]string{
		"door":            "close the door",
		"window":          "close the window",
		"motion":          "leave its field of view, or stand still",
		"glass-break":     "stop the tester and let it settle",
		"hold-up":         "reset the button",
		"tamper":          "refit the cover",
		"smoke":           "clear the smoke and let it reset",
		"carbon-monoxide": "clear the gas and let it reset",
		"flood":           "dry the probes",
		"other":           "return it to rest",
	}
)

func (Language) hint(h programme.Hint) string {
	for _, ohm := range []*string{&h.EndOfLine, &h.ContactResistor, &h.FaultResistor} {
		*ohm = cmp.Or(*ohm, "not known")
	}
	switch h.Wiring {
	case site.NormallyClosed:
		return "normally closed: operating opens the loop"
	case site.NormallyOpen:
		return "normally open: operating closes the loop"
	case site.OneResistor:
		return "one end-of-line resistor, " + h.EndOfLine + ": operating opens the loop"
	case site.ParallelResistor:
		return "resistor at the end, " + h.EndOfLine + ", contacts across it: operating shorts the loop"
	case site.WiringUnknown:
		return "it is not known how it is wired"
	case site.ThreeResistors:
		return "end-of-line " + h.EndOfLine + ", contact " + h.ContactResistor + ", fault " + h.FaultResistor +
			": operating adds the contact's resistor"
	}
	return "end-of-line " + h.EndOfLine + ", contact " + h.ContactResistor +
		": operating adds the contact's resistor"
}
