package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pgregory.net/rapid"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/site"
)

// visitCase is a job and the answers for a visit of it.
type visitCase struct {
	name string
	dryrun.Visit
}

// lay writes the job's files to a folder.
func (c visitCase) lay(dir string) error {
	for name, text := range map[string][]byte{"site.yaml": c.Site, "controller.yaml": c.Controller,
		"answers.yaml": c.Answers} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			return err
		}
	}
	return nil
}

// read reads a case from a folder of the module.
func (o options) read(name string, folder ...string) (visitCase, error) {
	c := visitCase{name: name}
	for file, text := range map[string]*[]byte{"site.yaml": &c.Site, "controller.yaml": &c.Controller,
		"answers.yaml": &c.Answers} {
		var err error
		if *text, err = os.ReadFile(filepath.Join(append([]string{o.root}, append(folder, file)...)...)); err != nil {
			return c, err
		}
	}
	return c, nil
}

// afterBreak are answers to what is asked only if a visit was broken off between things that are
// otherwise taken together: whether to energise once more for the readings that are left, and a
// line that is looked at and is the last one open, which needs no list.
const afterBreak = `
  - {when: supply/alarm-current, say: energise}
  - {when: supply/far-voltage, say: energise}
  - {when: "walk/*/tamper", say: done}
  - {when: "cables/apart-*", say: done}
`

// neverSet are answers where the system does not set.
const neverSet = `
  - {when: alarm/setting/set, say: silent, after: 2 min}
  - {when: "alarm/*/set", say: skip, after: 1 min}
  - {when: "alarm/*/reason", say: the system does not set}
`

// breakable is a case whose technician can answer also after a break.
func breakable(c visitCase) visitCase {
	c.Answers = append(slices.Clone(bytes.TrimRight(c.Answers, "\n")), afterBreak...)
	return c
}

// simulatedCases are n visits of simulated buildings: the demonstration, the small shop
// with another fault in each, and drawn ones in which everything is measured.
func (o options) simulatedCases(n int) ([]visitCase, error) {
	demo, err := o.read("demonstration", "cmd", "loopwitness", "demo")
	if err != nil {
		return nil, err
	}
	shop, err := o.read("shop", "testdata", "visits", "base")
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewPCG(o.seed, 0))
	drawn := rapid.Custom(func(t *rapid.T) dryrun.Visit { return dryrun.DrawGood(t) })
	cases := []visitCase{breakable(demo)}
	for i := 1; i < n; i++ {
		if i%3 == 0 {
			good := visitCase{fmt.Sprintf("drawn %d", i), drawn.Example(int(rng.Uint32()))}
			cases = append(cases, breakable(good))
			continue
		}
		faulty, err := withFault(shop, rng)
		if err != nil {
			return nil, err
		}
		cases = append(cases, breakable(faulty))
	}
	return cases, nil
}

// withFault is the shop with a seed, and with a fault at some detector or none.
func withFault(shop visitCase, rng *rand.Rand) (visitCase, error) {
	points := []site.Point{"1.1", "2.1", "2.2", "3.1", "4.1", "5.1"}
	at := points[rng.IntN(len(points))]
	// What an inverted zone reported before a break, the building does not know after it.
	kinds := slices.DeleteFunc(slices.Clone(simulated.FaultKinds),
		func(kind string) bool { return kind == string(simulated.Inverted) })
	kind := append(kinds, "none")[rng.IntN(len(kinds)+1)]
	fault := fmt.Sprintf("[{at: %q, fault: %s, with: 2}]", at, kind)
	switch {
	case kind == "none":
		fault = "[]"
	case simulated.FaultKind(kind).OfController():
		fault = fmt.Sprintf("[{fault: %s}]", kind)
	case kind != string(simulated.Swapped):
		fault = strings.Replace(fault, ", with: 2", "", 1)
	case strings.HasPrefix(string(at), "2"):
		fault = strings.Replace(fault, "with: 2", "with: 1", 1)
	}
	c := visitCase{name: fmt.Sprintf("shop, %s at %s", kind, at), Visit: shop.Visit}
	if kind == string(simulated.NeverSets) {
		c.Answers = append(slices.Clone(bytes.TrimRight(c.Answers, "\n")), neverSet...)
	}
	var err error
	for key, value := range map[string]string{"simulated.seed": fmt.Sprint(rng.IntN(1e6)), "simulated.faults": fault} {
		if c.Controller, err = dryrun.SetKey(c.Controller, key, value); err != nil {
			return c, err
		}
	}
	return c, nil
}
