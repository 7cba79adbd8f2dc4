package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// clocks has the clock set, the computer sleep, the program stop and the visit break off
// before every entry of honest journals. What the journal tells of it changes nothing but what
// tells of it, and voids the trial that it spoiled; a clock that was set without a word breaks
// a law; and no hold counts more than what was watched.
type clocks struct{}

func (clocks) name() string { return "clocks" }

func (clocks) run(ctx context.Context, o options) (result, error) {
	kept, err := o.keptJournals()
	if err != nil {
		return result{}, err
	}
	visited, err := o.visitedJournals(ctx, o.of(12, 1))
	if err != nil {
		return result{}, err
	}
	all := append(some(kept, o.of(0, 1)), visited...)
	t := newTally()
	for _, h := range all {
		c, err := newClocked(h)
		if err != nil {
			return result{}, err
		}
		places := o.of(len(h.entries)-1, 16)
		err = each(ctx, places, func(i int) error {
			c.at(t, 1+i*(len(h.entries)-1)/places)
			return nil
		})
		if err != nil {
			return result{}, err
		}
	}
	t.note("%d journals", len(all))
	return t.result(), nil
}

// clocked is an honest journal with what it comes to.
type clocked struct {
	honest
	judged    []byte // see judgedBut
	detectors judge.Judged
	outcome   outcome
	holds     []record.Hold
}

func newClocked(h honest) (c clocked, err error) {
	r, err := record.Fold(h.entries)
	if err != nil {
		return c, fmt.Errorf("%s: %w", h.name, err)
	}
	c = clocked{honest: h, outcome: outcomeOf(r), holds: r.Holds(), detectors: judge.Assess(r).Judged()}
	c.judged, err = judgedBut(r)
	return c, err
}

var (
	clockSets  = []time.Duration{time.Hour, -time.Hour, 5 * time.Second, -5 * time.Second}
	sleepTimes = []time.Duration{3 * time.Second, 10 * time.Minute}
	stopTimes  = []time.Duration{80 * time.Millisecond, 2 * time.Second, 10 * time.Minute}
)

// at tries all of it before an entry.
func (c clocked) at(t *tally, at int) {
	try := func(kind string, by time.Duration, came error) {
		t.count(kind, 1)
		t.try(fmt.Sprintf("%s, %s %s, before entry %d", c.name, kind, by, at+1), came)
	}
	if c.ended(at) || !c.sameRun(at) {
		return // nothing ran; what a clock does over a break is tried where nothing broke off
	}
	for _, by := range clockSets {
		try("clocks set", by, c.told(at, by))
		try("clocks set untold", by, c.untold(at, by))
	}
	for _, by := range sleepTimes {
		try("sleeps", by, c.absent(at, func(r *retimed) { r.slept(by) }))
	}
	for _, by := range stopTimes {
		try("stops", by, c.absent(at, func(r *retimed) { r.stopped(by) }))
	}
	try("stops", 0, c.unwatched(at))
	if c.inAlarm(at) {
		return // after a break its step is taken from its beginning, which this journal does not do
	}
	for _, by := range []time.Duration{time.Hour, -time.Hour} {
		try("clocks set over a break", by, c.broken(at, by))
	}
}

// told: all is judged as without.
func (c clocked) told(at int, by time.Duration) error {
	r := c.before(at)
	r.stepped(by)
	got, err := r.fold()
	if err != nil {
		return err
	}
	if len(got.ClockSteps()) == 0 {
		return unnoticed{"nothing tells of it"}
	}
	judged, err := judgedBut(got)
	if err != nil {
		return err
	}
	return sameJudged(c.judged, judged)
}

// untold: a law tells.
func (c clocked) untold(at int, by time.Duration) error {
	r := c.before(at)
	r.wall(by)
	got, err := r.fold()
	if err != nil {
		return nil
	}
	if len(contradictions(judge.Assess(got))) == 0 {
		return unnoticed{"no law tells"}
	}
	return nil
}

// absent: the trial is void, and nothing else differs but what tells of it.
func (c clocked) absent(at int, happens func(*retimed)) error {
	r := c.before(at)
	happens(r)
	got, err := r.fold()
	if err != nil {
		return err
	}
	if len(got.Absences()) == 0 {
		return unnoticed{"nothing tells of it"}
	}
	return errors.Join(c.verdicts(at, outcomeOf(got)), c.held(got, 0))
}

// unwatched: the program stops from one entry to the next, and what it did not watch does
// not count.
func (c clocked) unwatched(at int) error {
	gap := c.entries[at].Elapsed - c.entries[at-1].Elapsed
	if gap <= 0 {
		return nil
	}
	r := c.before(at)
	gap = r.stoppedUntil()
	got, err := r.fold()
	if err != nil {
		return err
	}
	return errors.Join(c.verdicts(at, outcomeOf(got)), c.held(got, gap))
}

// broken: as with a break over which the clock was not set, but that nothing is worth more;
// back, a law tells, except of simulated time, which may begin anywhere.
func (c clocked) broken(at int, by time.Duration) error {
	const after = time.Minute
	r := c.before(at)
	r.broken(after, by)
	got, err := r.fold()
	if err != nil {
		return err
	}
	told := contradictions(judge.Assess(got))
	if by < 0 && !got.TimeSimulated() && !slices.Contains(told, record.LawRunsFollow) {
		return unnoticed{fmt.Sprintf("a run begins before the one before it ended, and no law tells: %v", told)}
	}
	return errors.Join(c.verdicts(at, outcomeOf(got)), c.held(got, 0))
}

// verdicts compares those of the detectors, and that the result is no better. The trial that waited
// may be void: of its detector there is no verdict then, or that of an earlier trial.
func (c clocked) verdicts(at int, got outcome) error {
	_, step := c.trial(at)
	var wrong []string
	voided := false
	for key, was := range c.outcome {
		class, of, _ := strings.Cut(key, " ")
		is := got[key]
		if class != "verdict" || is == was {
			continue
		}
		if of == step && slices.Contains(append(c.earlier(step), undecided...), record.Verdict(is)) {
			voided = true
			continue
		}
		wrong = append(wrong, fmt.Sprintf("%s: %s, and %s without it", key, is, was))
	}
	if is, was := judge.Overall(got[resultKey]), judge.Overall(c.outcome[resultKey]); greener(is, was) && !voided {
		wrong = append(wrong, fmt.Sprintf("%s, and %s without it", is, was))
	}
	if len(wrong) == 0 {
		return nil
	}
	slices.Sort(wrong)
	return errors.New(strings.Join(wrong, "; "))
}

// undecided are verdicts on a detector whose trial is void.
var undecided = []record.Verdict{record.Void, record.NotTested, record.Undecided}

// earlier are the verdicts of a detector's trials before the last.
func (c clocked) earlier(step string) []record.Verdict {
	for _, d := range slices.Concat(c.detectors.Detectors, c.detectors.OnStandby) {
		if d.Step == step {
			return slices.Clone(d.Before)
		}
	}
	return nil
}

// held compares what was watched of times without mains: none may count more, and all of
// them less by what was not watched if that was in one of them.
func (c clocked) held(got *record.Record, gap time.Duration) error {
	holds := got.Holds()
	if len(holds) != len(c.holds) {
		return fmt.Errorf("%d times without mains, and %d without it", len(holds), len(c.holds))
	}
	for i, h := range holds {
		if h.Watched > c.holds[i].Watched {
			return fmt.Errorf("%s without mains count, of %s that were watched", h.Watched, c.holds[i].Watched)
		}
	}
	if gap == 0 {
		return nil
	}
	for i, a := range got.Absences() {
		if a.Hold && a.Lasted == gap && i < len(holds) && totalOf(holds) > totalOf(c.holds)-gap {
			return unnoticed{fmt.Sprintf("%s without mains were not watched, and count", gap)}
		}
	}
	return nil
}

func totalOf(holds []record.Hold) (all time.Duration) {
	for _, h := range holds {
		all += h.Watched
	}
	return all
}

var timesOfDay = regexp.MustCompile(`"\d{4}-\d\d-\d\dT[^"]*"`)

// judgedBut is what was judged as JSON, without times of day and what tells of clocks that
// were set.
func judgedBut(r *record.Record) ([]byte, error) {
	j := judge.Assess(r).Judged()
	for _, list := range []*[]judge.JudgedFinding{&j.Findings, &j.Limitations, &j.Notes} {
		*list = slices.DeleteFunc(*list, func(f judge.JudgedFinding) bool {
			return bytes.Contains(f.Says, []byte(`"clock-set"`))
		})
		for i := range *list {
			(*list)[i].ID = ""
		}
	}
	text, err := json.MarshalIndent(j, "", " ")
	return timesOfDay.ReplaceAll(text, []byte(`"then"`)), err
}

// sameJudged is an error that shows the first line that differs.
func sameJudged(want, got []byte) error {
	a, b := bytes.Split(want, []byte("\n")), bytes.Split(got, []byte("\n"))
	for i := range min(len(a), len(b)) {
		if !bytes.Equal(a[i], b[i]) {
			return fmt.Errorf(
				"judged otherwise: %.200s, and without it %.200s",
				bytes.TrimSpace(b[i]),
				bytes.TrimSpace(a[i]),
			)
		}
	}
	if len(a) != len(b) {
		return fmt.Errorf("judged otherwise: %d lines, and %d without it", len(b), len(a))
	}
	return nil
}
