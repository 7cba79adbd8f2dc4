package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// walkTested writes the visit of a site of so many detectors, two on a zone, each of which was
// operated, reported and restored, into a job's folder.
func walkTested(dir string, detectors int) (journal.Contents, error) {
	var text strings.Builder
	text.WriteString("reference: L\npremises: {name: a, address: b}\ninstaller: {company: c}\n" +
		"controller: {description: d}\nsupply: {battery: {chemistry: none}}\nzones:\n")
	for z := 1; z <= detectors/2; z++ {
		fmt.Fprintf(&text, "  - {number: %[1]d, name: Zone %[1]d, kind: window, wiring: normally closed, "+
			"address: z%[1]d, detectors: [left, right]}\n", z)
	}
	s, err := site.Read("site.yaml", []byte(text.String()))
	if err != nil {
		return journal.Contents{}, err
	}
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	if err != nil {
		return journal.Contents{}, err
	}
	folder := filepath.Join(dir, "visits", visit)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return journal.Contents{}, err
	}
	path := filepath.Join(folder, "journal.jsonl")
	w, err := journal.Create(path)
	if err != nil {
		return journal.Contents{}, err
	}
	now := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	add := func(after time.Duration, f record.Fact) {
		now = now.Add(after)
		_, failed := w.Append(now, f.Kind(), f)
		err = errors.Join(err, failed)
	}
	steps := programme.Of(s, list)
	add(0, record.Opened{Tool: "measured", Visit: programme.Handover, Number: "L/1", SiteName: "site.yaml",
		Site: text.String(), Programme: steps})
	add(0, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7})
	add(0, signal.Connection{Up: true})
	for _, step := range steps {
		if step.Kind != programme.StepDetector || step.Stage != programme.StageWalkTest {
			continue
		}
		z, _, found := s.Find(step.Point)
		err = errors.Join(err, found)
		for _, half := range []struct {
			of      record.Half
			reports signal.State
		}{{record.Operate, signal.Active}, {record.Restore, signal.Restored}} {
			add(time.Second, record.Cue{Step: step.ID, Half: half.of})
			add(700*time.Millisecond, signal.Signal{Address: z.Address, State: half.reports})
			add(time.Second, record.Ended{Step: step.ID, By: record.ByTime})
		}
	}
	if err = errors.Join(err, w.Close()); err != nil {
		return journal.Contents{}, err
	}
	return journal.ReadFile(path)
}
