package dryrun

import (
	"regexp"
	"slices"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// cableForgeries measure cables as nobody may: with all connected, or with nothing.
var cableForgeries = []Forgery{
	{"a cable that was measured with everything connected", record.LawIsolated, measured(
		record.Tester{Step: programme.IDTester, Name: "tester 7", Volt: 250})},
	{"a cable that was measured with nothing", record.LawIsolated, measured(
		record.Answer{Step: programme.IDIsolated, Result: record.Done})},
	{"insulation better than was read", record.LawValueAsTyped, measured(
		record.Answer{Step: programme.IDIsolated, Result: record.Done},
		record.Tester{Step: programme.IDTester, Name: "tester 7", Volt: 250},
		cableOf(func(c *record.CableTested) { c.Values.Between.Ohm = 2e9 }))},
	{"an instrument for cables without a name", record.LawInstrument,
		measured(record.Tester{Step: programme.IDTester, Volt: 250})},
}

// cableOf is what was seen and measured of a cable, with a change.
func cableOf(change func(*record.CableTested)) record.CableTested {
	c := record.CableTested{Step: "cables/zone-1", Seen: "2 red black", Measured: "1.4 ohm 200 Mohm 200 Mohm"}
	c.Is, _ = checks.ParseCableSeen(c.Seen)             // both as they are typed
	c.Values, _ = checks.ParseCableMeasured(c.Measured) // in the tests of their room
	change(&c)
	return c
}

// cablesKey is the site's own key, which the forged one replaces.
var cablesKey = regexp.MustCompile(`(?m)^cables:.*\n`)

func ofCables(st programme.Step) bool { return st.Stage == programme.StageCables }

// stepsOf are the places of the entries about steps with a prefix.
func (f *Forged) stepsOf(prefix string) (at []int) {
	for i := range f.Entries {
		if step, is := f.body(i)["step"].(string); is && strings.HasPrefix(step, prefix) {
			at = append(at, i)
		}
	}
	return at
}

// measured lets the cables of the site be reused, forgets what was measured of any, puts facts before the first trial, and a cable
// that was measured behind them.
func measured(before ...record.Fact) func(*Forged) {
	return func(f *Forged) {
		Edit(f, 0, func(o *record.Opened) {
			o.Site = strings.Replace(
				cablesKey.ReplaceAllString(o.Site, ""),
				"\nzones:",
				"\ncables: {reused: \"yes\"}\nzones:",
				1,
			)
			s, err := site.Read(o.SiteName, []byte(o.Site))
			if err != nil {
				panic(err)
			}
			cables := slices.DeleteFunc(programme.Of(s, programme.Checklist{}),
				func(st programme.Step) bool { return !ofCables(st) })
			o.Programme = append(cables, slices.DeleteFunc(o.Programme, ofCables)...)
		})
		f.Remove(f.stepsOf("cables/")...)
		at := f.cues()[0]
		for i, fact := range append(before, record.Fact(cableOf(func(*record.CableTested) {}))) {
			f.Insert(at+i, 0, fact)
		}
	}
}
