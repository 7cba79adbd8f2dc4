package dryrun

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// What is missing never makes a page greener, and worse readings never improve it: held at
// visits in which everything holds but what was spoilt.

// mayGo are the keys that may be left out of a file and make its page greener, each with the
// reason, and with what is wrong until then. Items of lists are written []. No other may.
var mayGo = map[string]struct {
	why   string
	until spoilt
}{
	"supply.hold": {"ten minutes without mains show more than what is declared",
		spoilt{site: "supply.hold: 1 s"}},
	"limits.mains_lower": {"what is published of the battery counts",
		spoilt{site: "limits.mains_lower: 15 V\nlimits.mains_upper: 16 V"}},
	"limits.mains_upper": {"what is published of the battery counts",
		spoilt{site: "limits.mains_lower: 10 V\nlimits.mains_upper: 11 V"}},
	"limits.mains_fault": {"that it is reported at all counts: nothing usual says how soon",
		spoilt{site: "limits.mains_fault: 1 min", controller: "simulated.mains_fault: {reported: 9 min}"}},
	"limits.battery_fault": {"that it is reported at all counts: nothing usual says how soon",
		spoilt{site: "limits.battery_fault: 1 min", controller: "simulated.battery_fault: {reported: 9 min}"}},
	"limits.insulation": {"the published limit counts", spoilt{site: "limits.insulation: 900 Mohm"}},
	"limits.margin":     {"the published margin counts", spoilt{site: "limits.margin: 99 dB"}},
	"zones[].cable.reused": {"its cable is then said to be what those of the site are: another statement, too",
		spoilt{site: "cables.reused: \"no\"\nzones.2.cable: {reused: \"yes\", length: 900 m, conductor: 0.22 mm2}"}},
	"supply.battery.life": {"published service lives count",
		spoilt{site: "supply.battery.life: 100 d\nsupply.battery.fitted: 2026-01-01"}},
	"zones[].detectors[].kind": {"the detector is then said to be what its zone is: not missing, but another statement",
		spoilt{site: "zones.1.kind: smoke\nzones.1.detectors.1.kind: door\nzones.1.detectors.1.powered: " +
			"{current: 5 mA, minimum: 8 V, cable_length: 5 m, conductor: 22 AWG}",
			controller: "simulated.delays: {z1: 9 s}"}},
	"zones[].detectors[].powered.after": {"the cable is then said to come from the controller: another statement, too",
		spoilt{site: "zones.3.detectors.1.powered: " +
			"{current: 1 mA, minimum: 5 V, cable_length: 300 m, conductor: 0.22 mm2}\nzones.4.detectors.1.powered: " +
			"{current: 40 mA, minimum: 9 V, cable_length: 1 m, conductor: 22 AWG, after: \"3.1\"}"}},
}

var place = regexp.MustCompile(`#\d+`)

// withoutPlaces is a path of AllKeys as mayGo has it.
func withoutPlaces(path string) string {
	return strings.ReplaceAll(place.ReplaceAllString(path, "[]"), ".[]", "[]")
}

// drawSpoilt is a good visit with one thing spoilt that shows.
func drawSpoilt(t *rapid.T) (Visit, []Line) {
	s := rapid.SampledFrom(spoils).Draw(t, "spoilt")
	v := s.in(t, rapid.Custom(DrawGood).Draw(t, "visit"))
	a, _ := v.Run(t.Context())
	if a == nil || Clean(Codes(a)) {
		t.Skip("that does not show here")
	}
	return v, Codes(a)
}

// Whoever leaves out a key of the site file gets no greener page.
func TestMissingKeysNeverImprove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, before := drawSpoilt(t)
		key := rapid.SampledFrom(AllKeys(v.Site)).Draw(t, "key")
		if _, may := mayGo[withoutPlaces(key)]; may {
			t.Skip("an exception")
		}
		less, err := DeleteKey(v.Site, key)
		require.NoError(t, err)
		v.Site = less
		a, _ := v.Run(t.Context())
		assert.False(t, a != nil && Clean(Codes(a)), "without %s nothing is wrong any more:\n%s", key, wrong(before))
	})
}

// The same, of the keys that say what is wrong: whoever would declare something bad does not
// get a greener page by not declaring it.
func TestUndeclaredNeverImproves(t *testing.T) {
	for seed := range 5 { // all kinds of battery
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			for _, s := range spoils {
				v := s.in(t, rapid.Custom(DrawGood).Example(seed))
				if a, _ := v.Run(t.Context()); a == nil || Clean(Codes(a)) {
					continue
				}
				for _, line := range linesOf([]byte(s.site)) {
					key, _, _ := strings.Cut(line, ": ")
					if _, may := mayGo[withoutPlaces(key)]; !may {
						assert.False(t, cleanWithout(t, v, key), "%+v without %s", s, key)
					}
				}
			}
		})
	}
}

// Each exception is one: some site gets greener without the key.
func TestKeysThatMayGo(t *testing.T) {
	for key, may := range mayGo {
		greener := false
		for seed := 0; seed < 5 && !greener; seed++ {
			v := may.until.in(t, rapid.Custom(DrawGood).Example(seed))
			if a, _ := v.Run(t.Context()); a == nil || Clean(Codes(a)) {
				continue
			}
			for _, path := range AllKeys(v.Site) {
				greener = greener || withoutPlaces(path) == key && cleanWithout(t, v, path)
			}
		}
		assert.True(t, greener, "%s: %s", key, may.why)
	}
}

// cleanWithout tells whether a visit without a key of its site file is clean.
func cleanWithout(t *testing.T, v Visit, key string) bool {
	less, err := DeleteKey(v.Site, key)
	require.NoError(t, err)
	v.Site = less
	a, _ := v.Run(t.Context())
	return a != nil && Clean(Codes(a))
}

// wrong are the findings and limitations among lines.
func wrong(lines []Line) string {
	var out []string
	for _, l := range lines {
		if l.Class == Found || l.Class == Limited {
			out = append(out, l.String())
		}
	}
	return strings.Join(out, "\n")
}

// notAskedFor are readings that no visit asks for: taken, they count, and they may be left.
var notAskedFor = regexp.MustCompile(`^walk/.*/ohms$|^outputs/.*/current$`)

// Whoever leaves out a reading, or says that something was not tested, gets no greener page.
func TestMissingReadingsNeverImprove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, before := drawSpoilt(t)
		a, _ := v.Run(t.Context())
		left := rapid.SampledFrom(leavings(a)).Draw(t, "left out")
		v.Answers = first(t, v.Answers, left)
		a, _ = v.Run(t.Context())
		assert.False(t, a != nil && Clean(Codes(a)), "with %s nothing is wrong any more:\n%s", left, wrong(before))
	})
}

// leavings are answers with which a technician leaves something out of a visit.
func leavings(a *judge.Assessment) (all []string) {
	leave := func(question, word string) {
		if !notAskedFor.MatchString(question) {
			all = append(all, fmt.Sprintf("{when: %q, say: %q}", question, word))
		}
	}
	for _, o := range a.Record().Outcomes() {
		switch s := o.Step(); s.Kind {
		case programme.StepReading:
			if s.OfCurrent() {
				leave(s.ID+"/current", "")
			} else {
				leave(s.ID+"/voltage", "none")
			}
		case programme.StepInstrument:
			leave(s.ID, "none")
			leave(s.ID+"/uncertainty", "")
			leave(s.ID+"/calibrated", "")
		case programme.StepIsolated:
			leave(s.ID, "not tested")
		case programme.StepTester:
			leave(s.ID, "none")
			leave(s.ID+"/volt", "")
			leave(s.ID+"/uncertainty", "")
			leave(s.ID+"/calibrated", "")
		case programme.StepCable:
			leave(s.ID, "none")
			leave(s.ID+"/measured", "none")
		case programme.StepCharged:
			leave(s.ID, "not known")
		case programme.StepDetector:
			leave(s.ID+"/ready", "skip")
		case programme.StepOutput:
			for _, of := range []string{"/level", "/cut-off", "/current"} {
				leave(s.ID+of, "")
			}
			leave(s.ID+"/until-stopped", "no")
			leave(s.ID, "not tested")
		case programme.StepAct, programme.StepPath, programme.StepCheck, programme.StepRestart, programme.StepChime:
			leave(s.ID, "not tested")
		}
	}
	return all
}

// Whoever reads something worse gets no better page.
func TestWorseReadingsNeverImprove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := DrawGood(t)
		a, err := v.Run(t.Context())
		require.NoError(t, err)
		w := rapid.SampledFrom(worsenings(a)).Draw(t, "what is worse")
		by := rapid.Float64Range(0, w.most).Draw(t, "by")
		more := rapid.Float64Range(by, w.most).Draw(t, "by more")
		bad, worse := w.in(t, v, by), w.in(t, v, more)
		assert.GreaterOrEqual(t, rank(bad), rank(worse), "%s worse by %v:\n%s\nby %v:\n%s", w.name, by, wrong(bad), more,
			wrong(worse))
	})
}

// worsening is a reading that can be worse by an amount, in its unit.
type worsening struct {
	name string
	most float64
	with func(v *Visit, by float64) error
}

func (w worsening) in(t *rapid.T, v Visit, by float64) []Line {
	require.NoError(t, w.with(&v, by))
	a, err := v.Run(t.Context())
	require.NoError(t, err)
	return Codes(a)
}

// rank orders results, the worst first.
func rank(lines []Line) int {
	switch {
	case strings.Contains(wrong(lines), string(Found)+" "):
		return 0
	case !Clean(lines):
		return 1
	}
	return 2
}

// worsenings of the readings of a visit.
func worsenings(a *judge.Assessment) (all []worsening) {
	answer := func(question string, most float64, say func(by float64) string) {
		all = append(all, worsening{question, most, func(v *Visit, by float64) (err error) {
			v.Answers, err = answersBefore([]byte(fmt.Sprintf("- {when: %s, say: %q}", question, say(by))), v.Answers)
			return err
		}})
	}
	for _, l := range a.Readings() {
		step, volts, sign := l.Outcome.Step(), l.Reading.Value, -1.0
		if !step.OnStandby() {
			sign = 1 // with mains present
		}
		answer(step.ID+"/voltage", 6, func(by float64) string { return fmt.Sprintf("%.2f V", max(0, volts+sign*by)) })
	}
	answer("cables/zone-1/measured", 500,
		func(by float64) string { return fmt.Sprintf("%.1f ohm >200 Mohm >200 Mohm", 1+by) })
	answer("cables/zone-2/measured", 200,
		func(by float64) string { return fmt.Sprintf("1 ohm %.3f Mohm >200 Mohm", 200-by) })
	answer("supply/far-voltage/voltage", 6, func(by float64) string { return fmt.Sprintf("%.2f V", 12.5-by) })
	answer("supply/standby-current/current", 4, func(by float64) string { return fmt.Sprintf("%.3f A", 0.4+by) })
	answer("supply/alarm-current/current", 4, func(by float64) string { return fmt.Sprintf("%.3f A", 1+by) })
	answer("outputs/Sounder/level", 68, func(by float64) string {
		return fmt.Sprintf("%.0f dB(A) at 1 m ± 0.1 m over 52 dB class 2", 112-by)
	})
	answer("walk/1.1/ohms", 30, func(by float64) string { return fmt.Sprintf("%.2f kohm", 4.7+by) })
	for _, zone := range []string{"z1", "z2", "z3", "z4", "z5"} {
		all = append(all, worsening{"response of " + zone, 80, func(v *Visit, by float64) (err error) {
			v.Controller, err = SetKey(v.Controller, "simulated.delays", fmt.Sprintf("{%s: %.2f s}", zone, by))
			return err
		}})
	}
	return all
}
