package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/invented"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/programme"
	"loopwitness/report/certify"
)

// The gallery is certificates of every kind, to be looked at: of a small site and a large one, of a visit in which
// everything failed and of one that was not finished, in another language and on other paper, with names that are hard
// to set. Each is a job folder with its certificates, not sealed; the same bytes of pages each time.

// exhibit is one job of the gallery.
type exhibit struct {
	name   string
	visits []attendance
	files  func() (invented.Files, error)
	// unfinished tells that somebody is asked what the technician has no answer for, and leaves.
	unfinished bool
	extra      map[string][]byte // further files of the job, by their names
}

// firstVisit is when the first visit of each exhibit begins.
var firstVisit = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

var oneHandOver = []attendance{{kind: programme.Handover}}

// history is a hand-over and maintenance each half year, in which one detector becomes slow and the battery weak.
func history() []attendance {
	all := []attendance{{kind: programme.Handover, at: firstVisit.AddDate(-3, 0, 0)}}
	for i := range 6 {
		all = append(all, attendance{kind: programme.Maintenance, at: firstVisit.AddDate(-3, 6*(i+1), 0),
			controllerText: fmt.Sprintf("listen: simulated\nsimulated:\n  seed: %d\n  battery: {resistance: %d mohm, capacity: %.1f Ah}\n"+
				"  delays: {z05: %d ms, z12: 12 s}\n  outputs: {Sounder: {cut_off: 15 min}}\n", 1908+i, 60+35*i, 7-0.25*float64(i),
				400+420*i),
			answers: "answers-a-year-later.yaml"})
	}
	return all
}

func large(l invented.Large) func() (invented.Files, error) {
	return func() (invented.Files, error) { return l.Files(), nil }
}

// potteryStudio is the demonstration's, with changes: pairs of a text and the one in its place, of any file.
func potteryStudio(changes ...string) func() (invented.Files, error) {
	return func() (files invented.Files, err error) {
		for name, to := range map[string]*[]byte{"site.yaml": &files.Site, "controller.yaml": &files.Controller,
			"answers.yaml": &files.Answers} {
			data, err := demoFiles.ReadFile("demo/" + name)
			if err != nil {
				return files, err
			}
			*to = []byte(strings.NewReplacer(changes...).Replace(string(data)))
		}
		return files, nil
	}
}

// adding puts texts before the answers, and at the end of the site and the controller, of files.
func adding(files func() (invented.Files, error), site, controller, answers string) func() (invented.Files, error) {
	return func() (invented.Files, error) {
		f, err := files()
		f.Site = append(f.Site, site...)
		f.Controller = append(f.Controller, controller...)
		f.Answers = bytes.Replace(f.Answers, []byte("answers:\n"), []byte("answers:\n"+answers), 1)
		return f, err
	}
}

// exhibits are those of the gallery, in its order.
func exhibits() []exhibit {
	return []exhibit{
		{name: "three-zones", files: large(invented.Large{Zones: 3, Detectors: 3}), visits: oneHandOver},
		{name: "thirty-zones", files: large(invented.Large{Zones: 30, Detectors: 40}), visits: oneHandOver},
		{name: "three-hundred-zones", files: large(invented.Large{Zones: 300, Detectors: 390, Spoilt: true}),
			visits: []attendance{{kind: programme.Handover}, {kind: programme.Maintenance, at: firstVisit.AddDate(1, 0, 0)}}},
		{name: "all-failed", files: adding(large(invented.Large{Zones: 8, Detectors: 10}), "", allFailing, allFailed),
			visits: oneHandOver},
		{name: "not-finished", files: potteryStudio("  - {when: supply/mains-*/voltage, say: as shown}\n",
			"  - {when: supply/mains-present/voltage, say: as shown}\n"), visits: oneHandOver, unfinished: true},
		{name: "take-over", files: adding(potteryStudio(unknownThere...), "", "", takenOver),
			visits: []attendance{{kind: programme.TakeOver}}},
		{name: "maintenance-with-history", files: potteryStudio("fitted: 2026-11-20", "fitted: 2023-11-20"), visits: history()},
		{name: "german", files: adding(potteryStudio(), "language: de\n", "", ""), visits: oneHandOver},
		{name: "letter", files: adding(potteryStudio(), "paper: letter\nunits: us\n", "", ""), visits: oneHandOver},
		{name: "odd-names", files: adding(potteryStudio(oddNames...), oddPrinted, "", oddAnswers), visits: oneHandOver},
	}
}

// allFailing is a building in which nothing works.
const allFailing = `  faults:
    - {at: "1.1", fault: silent}
    - {at: "2.1", fault: swapped, with: 3}
    - {at: "3.1", fault: silent}
    - {at: "4.1", fault: silent}
    - {at: "5.1", fault: silent}
    - {at: "6.1", fault: silent}
    - {at: "7.1", fault: silent}
    - {at: "8.1", fault: silent}
    - {at: "8.2", fault: silent}
`

const allFailed = `  - {when: "*/not-proved", say: as it is}
  - {when: outputs/Sounder/heard, say: "no"}
  - {when: outputs/Strobe/seen, say: "no"}
  - {when: outputs/*/note, say: nothing at its terminals either}
  - {when: alarm, say: none}
  - {when: alarm/setting/reason, say: neither sounder nor detectors work}
`

// unknownThere is what nobody knows of a system of somebody else.
var unknownThere = []string{"    wiring: two resistors\n    end_of_line: 4k7\n    contact_resistor: 4k7\n", "    wiring: not known\n",
	"capacity: 7 Ah, ", "", "fitted: 2026-11-20, ", "", "  current: 180 mA\n", ""}

const takenOver = `  - {when: told/history/*, say: ""}
  - {when: found/wiring/*/ohms, say: 4.7 kohm}
  - {when: found/wiring/*/wiring, say: not known}
  - {when: found/wiring/*, say: measured}
  - {when: "found/*/reason", say: no plate}
  - {when: "found/*", say: cannot be known}
`

var oddNames = []string{
	"name: Saltglaze Pottery Studio", "name: 窯元の工房",
	"Shop door contact", "Ladentür-Wintergartenschiebetürmagnetkontaktüberwachungseinrichtung am Durchgang zur Brennofenkammer",
	"Kiln room door contact", "Контакт двери печного цеха",
	"Window above wheel 1", "חלון 12 צפון (מעל האובניים)",
	"Window above wheel 2", "\"Επαφή παραθύρου, βορράς\"",
	"Window by the clay sink", `"<img src=x onerror=alert(1)> & co."`,
	"Window by the drying racks", `"satisfactory: 100 % proved"`,
	"Glaze store window contact", "W",
	"Bellbird Alarm Services", "Żółć & Ñandú Alarmsystemtechnik-Instandhaltungsgesellschaft mbH",
}

const oddPrinted = "printed: [{typed: 窯元の工房, as: Kamamoto no kōbō (Saltglaze Pottery Studio)}]\n"

const oddAnswers = `  - {when: sign-off/technician/name, say: Жанна О'Коннор-Ōta}
  - {when: sign-off/customer/name, say: "אוטילין מרש"}
  - {when: walk/3.3/note, say: "a note of one word that is very long: Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"}
`

// gallery writes every exhibit, each a folder of dir.
func (s streams) gallery(ctx context.Context, dir string) error {
	for _, e := range exhibits() {
		written, err := s.exhibit(ctx, e, filepath.Join(dir, e.name))
		if err != nil {
			return fmt.Errorf("%s: %w", e.name, err)
		}
		for _, path := range written {
			s.say("%s", path)
		}
	}
	return nil
}

// exhibit runs the visits of one exhibit and writes their certificates. What they end with is shown on their pages.
func (s streams) exhibit(ctx context.Context, e exhibit, dir string) (written []string, err error) {
	s.quiet, s.err = true, io.Discard
	f := job.At(dir)
	if err := atomicfile.MakeFolder(f.Dir(), 0o700); err != nil {
		return nil, err
	}
	files, err := e.files()
	if err != nil {
		return nil, err
	}
	if err := atomicfile.Create(f.SitePath(), files.Site, 0o600); err != nil {
		return nil, err
	}
	for name, content := range e.extra {
		if err := atomicfile.Create(filepath.Join(dir, name), content, 0o600); err != nil {
			return nil, err
		}
	}
	for _, of := range e.visits {
		if of.at.IsZero() {
			of.at = firstVisit
		}
		if of.controllerText == "" {
			of.controllerText = string(files.Controller)
		}
		if of.answers == "" {
			of.answersText = string(files.Answers)
		}
		begun, c, err := s.attends(ctx, f, of)
		left := errors.Is(err, ask.ErrUnanswered)
		if err != nil && !left && !errors.Is(err, errUnsatisfactory) {
			return nil, err
		}
		if left != e.unfinished {
			return nil, fmt.Errorf("the visit has not ended as it should: %w", cmp.Or(err, errors.New("it is finished")))
		}
		done, err := certify.Visit(ctx, begun, certify.Options{Tool: tool, Clock: c})
		if err != nil {
			return nil, err
		}
		written = append(written, done.Path)
	}
	return written, nil
}
