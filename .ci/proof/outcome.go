package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// outcome is all that must not depend on where a visit was broken off: of each step, what
// concluded it; each detector's verdict; what each reading, output and computation came to;
// the result, and what is found and limits it. Times and measured values are not in it: a
// detector that is tried again answers at another time.
type outcome map[string]string

// tellsOfBreaks are the codes of limitations and notes that a break brings rightly; a new
// one is written here. Nothing else may differ. No time is measured over a break, so that the
// centre's clock, compared after it, times no alarm that came before it.
var tellsOfBreaks = []string{"switch-over-unseen", "was-absent", "clock-set", "receipt-not-timed"}

// hiddenByBreaks are the codes of findings that nobody can see while the program is dead:
// one may be gone where something tells of the break, and nowhere else.
var hiddenByBreaks = []string{"switch-over-lost"}

func breaks(code string) bool { return slices.Contains(tellsOfBreaks, code) }

// resultKey is the line of the result, which a limitation that tells of breaks lowers.
const resultKey = "result"

// outcomeOf is the outcome of a record.
func outcomeOf(r *record.Record) outcome {
	a := judge.Assess(r)
	o := outcome{resultKey: string(a.Result()), "done": fmt.Sprint(r.Done()), "left on": fmt.Sprint(r.Energised())}
	for _, s := range r.Outcomes() {
		o["step "+s.Step().ID] = fmt.Sprintf("concluded %t %s", s.Concluded(), s.Result())
	}
	for _, d := range slices.Concat(a.Detectors(), a.OnStandby()) {
		o["verdict "+d.Outcome.Step().ID] = string(d.Verdict)
	}
	for _, l := range a.Readings() {
		o["reading "+l.Outcome.Step().ID] = fmt.Sprintf("taken %t %s%s", l.Taken, l.Decision.Ruling, l.Void)
	}
	for _, l := range a.Outputs() {
		o["output "+l.Outcome.Step().ID] = string(l.Result)
	}
	if l := a.Restart(); l != nil {
		o["restart"] = string(l.Verdict)
	}
	for _, c := range a.Computed() {
		o["row "+c.Row.Code()+" "+words.English{}.Computed(c).About] = fmt.Sprint(c.Ruling, len(c.Missing))
	}
	for class, list := range map[string][]judge.Finding{
		"finding": a.Findings(), "limitation": a.Limitations(), "note": a.Notes(),
	} {
		for _, f := range list {
			o[class+" "+f.Code()+" "+f.Step+" "+words.English{}.Say(f.Subject)] = string(f.Severity())
		}
	}
	return o
}

// differences lists what is otherwise in got than it was in want, but for what tells of
// breaks, and outputs that are left on in any case.
func differences(want, got outcome) (all []string) {
	told := 0
	for _, key := range slices.Sorted(maps.Keys(got)) {
		_, there := want[key]
		class, rest, _ := strings.Cut(key, " ")
		code, _, _ := strings.Cut(rest, " ")
		switch {
		case there:
		case breaks(code) && class != "finding":
			told++
		default:
			all = append(all, fmt.Sprintf("new: %s (%s)", key, got[key]))
		}
	}
	hidden := 0
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if _, there := got[key]; there {
			continue
		}
		if strings.HasPrefix(key, "note was-absent ") {
			continue // a busy computer paused the run without an attack, in real time
		}
		if told > 0 && slices.Contains(hiddenByBreaks, strings.Fields(key)[1]) {
			hidden++
			continue
		}
		all = append(all, fmt.Sprintf("gone: %s (%s)", key, want[key]))
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		is, there := got[key]
		lowered := key == resultKey && told > 0 && is == string(judge.WithLimitations) &&
			(want[key] == string(judge.Satisfactory) || hidden > 0)
		if there && is != want[key] && !lowered {
			all = append(all, fmt.Sprintf("%s: %s, without the attack: %s", key, is, want[key]))
		}
	}
	if on := got["left on"]; on != "[]" && on == want["left on"] {
		all = append(all, "left on: "+on)
	}
	return all
}

// outcomeAt is the outcome of a journal.
func outcomeAt(path string) (outcome, error) {
	contents, err := journal.ReadFile(path)
	if err != nil {
		return nil, err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return nil, err
	}
	return outcomeOf(r), nil
}

// exitCode is what the program ends with for an outcome: 0, or 1 for unsatisfactory.
func (o outcome) exitCode() int {
	if o[resultKey] == string(judge.Unsatisfactory) {
		return 1
	}
	return 0
}

// compared is an error that names what is otherwise, nil for nothing.
func compared(want, got outcome) error {
	if all := differences(want, got); len(all) > 0 {
		return fmt.Errorf("another outcome: %s", strings.Join(all, "; "))
	}
	return nil
}
