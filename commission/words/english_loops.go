package words

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

func (l English) loopFormula(r judge.LoopRow) string {
	text := "Kirchhoff, resistors within " + assumed(percent(r.Tolerance), " %")
	if r.Cable > 0 {
		return text + ", cable within 20 %"
	}
	return text + ", cable not known: one of " + l.unknownRun() + " may add what it has"
}

func percent(share judge.Assumable) judge.Assumable {
	share.Value *= 100
	return share
}

func (l English) loop(row *Row, r judge.LoopRow, v checks.Ruling) {
	row.Inputs, row.Limit = r.Measured+", "+l.Say(r.Wiring), "at rest: normal"
	if r.Cable > 0 {
		row.Inputs += fmt.Sprintf(", %s of %s: %.1f Ω", l.run(r.Length), l.conductor(r.Conductor), r.Cable)
	}
	row.Result = loopStates(r.States)
	switch {
	case len(r.States) == 0:
		row.Result = "no state of this circuit explains it"
		row.Change = "look for a wrong resistor, a further one, or a bad joint"
	case v == checks.Fail:
		row.Change = "compare the wiring with the site file; look for a contact that is not at rest"
	case v == checks.Undecided:
		row.Result += ", as far as cable and resistors are not known"
	}
}

func loopStates(states []checks.LoopState) string {
	var names []string
	for _, s := range states {
		names = append(names, string(s))
	}
	return strings.Join(names, " or ")
}

// loopMeans says at once what a reading at a detector shows.
func loopMeans(reading string, m judge.LoopMeaning) string {
	switch {
	case m.Ruling == checks.Pass && len(m.States) == 1:
		return reading + ": at rest, as it should be."
	case m.Ruling == checks.Pass:
		return fmt.Sprintf("%s: at rest, as it should be; %s would read the same.", reading, besides(m.States))
	case m.Ruling == checks.Undecided:
		return reading + ": at rest, if cable and resistors account for it. The site file does not say enough of them."
	case len(m.States) == 0:
		return reading + ": explained by no state of this circuit. Look for a wrong resistor, a further one, or a bad joint."
	case m.Opened == 1:
		return fmt.Sprintf("%s: what one active contact reads (%s). Is it at rest?", reading, loopStates(m.States))
	case m.Opened > 1:
		return fmt.Sprintf("%s: what %d active contacts read (%s). Are they at rest?", reading, m.Opened,
			loopStates(m.States))
	}
	return fmt.Sprintf("%s: the loop is %s.", reading, loopStates(m.States))
}

// besides are the states beside rest.
func besides(states []checks.LoopState) string {
	var others []checks.LoopState
	for _, s := range states {
		if s != checks.LoopNormal {
			others = append(others, s)
		}
	}
	return loopStates(others)
}

func dropFormula(r judge.DropRow) string {
	from := "the lowest supply accepted under alarm load"
	if r.Converter {
		from = "the converter's output"
	}
	text := "V = V_supply − Σ 2·L·R′·I, from " + from + ", flexible assumed"
	if r.After != "" {
		text += "; each piece of the cable carries all detectors beyond it"
	}
	return text
}

func (l English) drop(row *Row, r judge.DropRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s V, %s of %s (%s Ω, %s), %s", checks.FormatNumber(r.Supply), l.run(r.Length),
		l.conductor(r.Conductor), l.Number(r.Loop, 2), l.Say(r.Rule), r.Current)
	if carries := milli(r.Carries); carries != r.Current {
		row.Inputs += ", " + carries + " with those beyond it"
	}
	if r.After != "" {
		row.Inputs += fmt.Sprintf(", after %s, %.2f V lost before it", r.After, r.Before)
	}
	row.Result, row.Limit = fmt.Sprintf("%.2f V", r.Far), "at least "+r.Minimum+", its minimum"
	switch {
	case v == checks.Pass:
	case v == checks.Undecided:
		row.Change = "it would hold from 12 V: declare the lowest supply that counts here (limits, alarm_load_lower)"
	case r.Hopeless:
		row.Change = "no cable helps: the detector needs more than the lowest supply"
	case r.After != "":
		row.Change = "feed it by a cable of its own, or take a thicker one from the controller on"
	default:
		row.Change = "shorten the run to " + Metres(l.Units, r.Shorten, 0, l.Number)
		if r.Thicker != "" {
			row.Change += ", or take " + l.conductor(r.Thicker)
		}
	}
}
