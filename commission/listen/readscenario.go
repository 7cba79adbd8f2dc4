package listen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/bench"
	"loopwitness/commission/site"
)

// Bench is how a practice controller speaks, so that the file's own rules understand it.
func (c Config) Bench() bench.Config {
	b := bench.Config{Practice: c.Practice, HTTP: c.HTTP}
	if c.MQTT.Broker != nil {
		b.MQTT = &c.MQTT
	}
	if c.Hook.At != "" {
		b.Hook = &c.Hook
	}
	if c.Poll.URL != "" {
		b.Poll = &c.Poll
	}
	return b
}

// ReadScenario reads what happens in the building of a practice controller by itself; all that is wrong is
// one *strictyaml.Problems.
//
//	building:              # as under simulated: in controller.yaml
//	  faults: [{at: "3.2", fault: chatter}]
//	  delays: {z05: 2 s}
//	spread: 300 ms         # by how much reports come later at most
//	retained: "no"         # over MQTT; otherwise the broker keeps them
//	steps:                 # each a while after the one before was begun
//	  - {after: 5 s, do: open, at: "3.1"}
//	  - {after: 2 s, do: storm, rate: 1000, for: 10 s}
//	  - {after: 1 min, do: restart, for: 20 s}
func ReadScenario(name string, data []byte, s *site.Site) (bench.Scenario, error) {
	yamlReader, fields, err := strictyaml.Parse(name, data, false, "building", "spread", "retained", "steps")
	if err != nil {
		return bench.Scenario{}, err
	}
	r := &reader{Reader: yamlReader, site: s}
	var all bench.Scenario
	if n := fields.Node("building"); n != nil {
		all.Building = r.simulated(section{r.Fields(n, "building", keys.Under("simulated")...), "simulated"})
	}
	top := section{fields, ""}
	all.Building.Spread = r.between(top, "spread", 0, bench.MostFor, 0)
	switch text := fields.Text("retained"); text {
	case "", "yes":
	case "no":
		all.Fresh = true
	default:
		r.Problem(fields.Node("retained"), "retained is neither yes nor no", `retained: "no"`)
	}
	steps := fields.List("steps")
	if len(steps) > bench.MostSteps {
		r.Problem(fields.Node("steps"), fmt.Sprintf("more than %d steps", bench.MostSteps), "")
		steps = nil
	}
	for _, n := range steps {
		all.Steps = append(all.Steps, r.step(n))
	}
	if err := r.Err(); err != nil {
		return bench.Scenario{}, err
	}
	return all, nil
}

func (r *reader) step(n *yaml.Node) bench.Step {
	f := section{r.Fields(n, "step", "after", "do", "at", "for", "rate"), ""}
	s := bench.Step{After: r.between(f, "after", 0, bench.MostAfter, 0),
		Command: bench.Command{Do: bench.Verb(f.Need("do", "one of: "+strings.Join(bench.Verbs, ", ")))}}
	if s.Do != "" && !slices.Contains(bench.Verbs, string(s.Do)) {
		hint := "one of: " + strings.Join(bench.Verbs, ", ")
		if near := strictyaml.Nearest(string(s.Do), bench.Verbs); near != "" {
			hint = "is " + near + " meant?"
		}
		r.Problem(f.Node("do"), "nobody knows how to do that", hint)
		return s
	}
	takes := map[string]bool{"at": s.Do.OfDetector(), "for": s.Do.Lasting(), "rate": s.Do == bench.Storm}
	for _, key := range []string{"at", "for", "rate"} {
		switch {
		case f.Has(key) && !takes[key]:
			r.Problem(f.Node(key), fmt.Sprintf("%q has no %q", s.Do, key), "remove it")
		case !f.Has(key) && takes[key] && s.Do != bench.Restart:
			r.Problem(f.At(), fmt.Sprintf("%q needs %q", s.Do, key), map[string]string{"at": `at: "3.1"`, "for": "for: 10 s",
				"rate": "rate: 1000"}[key])
		}
	}
	if s.At = site.Point(f.Text("at")); s.At != "" && takes["at"] {
		if _, _, err := r.site.Find(s.At); err != nil {
			r.Problem(f.Node("at"), err.Error(), "a detector of the site file, for example 3.2")
		}
	}
	usual := time.Duration(0)
	if s.Do == bench.Restart {
		usual = bench.UsuallyGone
	}
	if s.For = r.between(f, "for", time.Millisecond, bench.MostFor, usual); !takes["for"] {
		s.For = 0
	}
	if text := f.Text("rate"); text != "" && takes["rate"] {
		rate, err := strconv.Atoi(text)
		if err != nil || rate < 1 || rate > bench.MostRate {
			r.Problem(f.Node("rate"), fmt.Sprintf("rate is no whole number from 1 to %d", bench.MostRate), "reports a second")
		}
		s.Rate = rate
	}
	return s
}
