package record

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// bare is a site of which little is known.
const bare = `reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller, current: 100 mA}
supply: {battery: {chemistry: lead-acid}}
zones:
  - {number: 1, name: Door, kind: door, wiring: not known, address: z1, detectors: [a, b]}
  - {number: 2, name: Motion, kind: motion, wiring: normally closed, address: z2, detectors: [c]}
`

// lawOf is the law by which the last of some facts is refused in a visit that asks for all,
// "" where it is taken.
func lawOf(t *testing.T, facts ...Fact) (*Record, Law) {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(bare))
	require.NoError(t, err)
	opened := Opened{Visit: programme.TakeOver, Number: "H-1/1", SiteName: "site.yaml", Site: bare,
		Programme: programme.Whole(s, programme.Checklist{})}
	r := &Record{}
	require.NoError(t, r.Take(entryOf(t, 1, 1, at(0), 0, opened)))
	for i, f := range facts {
		err := r.Take(entryOf(t, i+2, 1, at(0), 0, f))
		var refused *Refusal
		switch {
		case err == nil:
			continue
		case errors.As(err, &refused) && i == len(facts)-1:
			return nil, refused.Law
		}
		require.NoError(t, err)
	}
	return r, ""
}

func TestLawFound(t *testing.T) {
	plate := func(step, key, text string) Found { return Found{Step: step, Key: key, Text: text, By: FromPlate} }
	cause := func(key, text string) Found { return Found{Step: "told/cause", Key: key, Text: text} }
	cells := plate("found/battery", "supply.battery.cells", "6")
	for name, c := range map[string]struct {
		facts []Fact
		law   Law
	}{
		"a value":                     {[]Fact{cells}, ""},
		"one that cannot be known":    {[]Fact{plate("found/battery", "supply.battery.cells", "")}, ""},
		"the same twice":              {[]Fact{cells, cells}, LawFound},
		"of another part":             {[]Fact{plate("found/adapter", "supply.battery.cells", "6")}, LawFound},
		"that the file says":          {[]Fact{plate("found/controller", "controller.current", "1 A")}, LawFound},
		"of nothing":                  {[]Fact{plate("found/battery", "supply.battery.cells", "0")}, LawFound},
		"too many cells":              {[]Fact{plate("found/battery", "supply.battery.cells", "25")}, LawFound},
		"no capacity":                 {[]Fact{plate("found/battery", "supply.battery.capacity", "7 V")}, LawFound},
		"less than nothing":           {[]Fact{plate("found/adapter", "supply.adapter.rating", "-2 A")}, LawFound},
		"volt-ampere":                 {[]Fact{plate("found/adapter", "supply.adapter.rating", "40 VA")}, ""},
		"a day":                       {[]Fact{plate("found/battery", "supply.battery.fitted", "2024-02-30")}, LawFound},
		"a resistor before the wires": {[]Fact{plate("found/wiring/1", "zones[].end_of_line", "4k7")}, LawFound},
		"a resistor of its wiring": {[]Fact{plate("found/wiring/1", "zones[].wiring", "one resistor"),
			plate("found/wiring/1", "zones[].end_of_line", "4k7")}, ""},
		"a resistor too many": {[]Fact{plate("found/wiring/1", "zones[].wiring", "one resistor"),
			plate("found/wiring/1", "zones[].fault_resistor", "4k7")}, LawFound},
		"wiring that is not known": {[]Fact{plate("found/wiring/1", "zones[].wiring", "not known")}, LawFound},
		"a word":                   {[]Fact{cause(programme.ToldReal, programme.FalseAlarm)}, ""},
		"no word of ours":          {[]Fact{cause(programme.ToldReal, "perhaps")}, LawFound},
		"a count":                  {[]Fact{cause(programme.ToldCount, "0")}, ""},
		"no count":                 {[]Fact{cause(programme.ToldCount, "-1")}, LawFound},
		"text":                     {[]Fact{cause("event.cause", "a banner")}, ""},
	} {
		_, law := lawOf(t, c.facts...)
		assert.Equal(t, c.law, law, name)
	}
}

// What was found counts as if the file had it, until its step is taken again.
func TestFoundCountsUntilTakenAgain(t *testing.T) {
	found := []Fact{Found{Step: "found/wiring/1", Key: "zones[].wiring", Text: "normally closed", By: ByMeter}}
	r, _ := lawOf(t, found...)
	assert.Equal(t, site.NormallyClosed, r.Site().Zone(1).Wiring)
	assert.Equal(t, site.WiringUnknown, r.SiteFile().Zone(1).Wiring)
	assert.False(t, r.Find("found/wiring/1").Concluded(), "its loop has to be read")
	read := append(found, Reading{Step: "found/wiring/1", Quantity: LoopReading, Value: 2, Unit: "ohm", AsTyped: "2 ohm"})
	r, _ = lawOf(t, read...)
	assert.True(t, r.Find("found/wiring/1").Concluded())
	r, _ = lawOf(t, append(read, Reopened{Step: "found/wiring/1"})...)
	assert.Equal(t, site.WiringUnknown, r.Site().Zone(1).Wiring)
	assert.Equal(t, []string{"zones[].wiring"}, r.ToFind(r.Find("found/wiring/1")))
	assert.True(t, r.LoopOpen(r.Find("found/wiring/1")))
}

func TestLawExtent(t *testing.T) {
	of := func(reason string, only bool, points ...site.Point) []Fact {
		return []Fact{Extent{Step: programme.IDExtent, Concerned: append([]site.Point{}, points...),
			OnlyThese: only, Reason: reason}}
	}
	for name, c := range map[string]struct {
		facts []Fact
		law   Law
	}{
		"none in particular":      {of("", false), ""},
		"one":                     {of("", false, "1.2"), ""},
		"only one, with a reason": {of("tested in May", true, "1.2"), ""},
		"only one, for no reason": {of("", true, "1.2"), LawExtent},
		"nobody left out, why":    {of("tested in May", false, "1.2"), LawExtent},
		"all left out":            {of("tested in May", true), LawExtent},
		"one twice":               {of("", false, "1.2", "1.2"), LawExtent},
		"one that is not":         {of("", false, "7.1"), LawExtent},
		"said twice":              {append(of("", false), of("", false)...), LawExtent},
		"taken again in between":  {append(append(of("", false), Reopened{Step: programme.IDExtent}), of("", false)...), ""},
	} {
		_, law := lawOf(t, c.facts...)
		assert.Equal(t, c.law, law, name)
	}
	r, _ := lawOf(t, of("tested in May", true, "1.2")...)
	assert.True(t, r.Find("walk/1.1").BeyondExtent())
	assert.True(t, r.Find("walk/1.1").Concluded())
	assert.False(t, r.Find("walk/1.2").Concluded())
	r, _ = lawOf(t, append(of("tested in May", true, "1.2"), Reopened{Step: programme.IDExtent})...)
	assert.False(t, r.Find("walk/1.1").Concluded(), "it is open again")
	assert.Nil(t, r.Extent())
	r, _ = lawOf(t, append(of("tested in May", true, "1.2"), Reopened{Step: "walk/1.1"})...)
	assert.False(t, r.Find("walk/1.1").BeyondExtent(), "it is tested after all")
}
