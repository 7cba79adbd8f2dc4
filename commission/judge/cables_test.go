package judge

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// cableSite is two zones with reused cables: one that is described, and one that is not.
const cableSite = `
reference: C-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
cables: {reused: "yes"}
zones:
  - {number: 1, name: Door, kind: door, wiring: one resistor, end_of_line: 4k7, tolerance: 1 %, address: z1, detectors: [Door],
     cable: {length: 100 m, conductor: 0.5 mm2}}
  - {number: 2, name: Hall, kind: door, wiring: normally closed, address: z2, detectors: [Hall]}
`

func cableRows(t *testing.T, zone int, line string, tester *record.Tester, changes ...string) map[string]Computed {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(strings.NewReplacer(changes...).Replace(cableSite)))
	require.NoError(t, err)
	f := record.CableTested{Step: "cables/zone", Measured: line}
	f.Values, err = checks.ParseCableMeasured(line)
	require.NoError(t, err)
	rows := map[string]Computed{}
	for _, c := range CableRows(s, s.Zone(zone), f, tester) {
		rows[c.Row.Code()] = c
	}
	return rows
}

// 100 m of 0.5 mm² have 2 · 100 m · 39.0 Ω/km = 7.8 Ω (IEC 60228 class 5, looked up); 20 % of
// it holds, beyond 50 % and 2 Ω nothing that was assumed explains it (common practice, no source).
func TestContinuityIsHeldAgainstWhatIsDescribed(t *testing.T) {
	for _, tc := range []struct {
		zone        int
		line        string
		want        checks.Ruling
		open, short bool
	}{
		{1, "7.8 ohm", checks.Pass, false, false}, {1, "11.3 ohm", checks.Pass, false, false},
		{1, "12.5 ohm", checks.Undecided, false, false}, {1, "40 ohm", checks.Fail, false, false},
		{1, "3 ohm", checks.Undecided, false, false}, {1, "0.5 ohm", checks.Fail, false, false},
		{1, "open", checks.Fail, true, false},
		{1, "2 Mohm", checks.Fail, true, false},
		{1, "resistor 4.71 kohm", checks.Pass, false, false}, {1, "resistor open", checks.Fail, true, false},
		{1, "resistor 0.4 ohm", checks.Fail, false, true}, {1, "resistor 2.2 kohm", checks.Undecided, false, false},
		{2, "1 ohm", checks.Pass, false, false}, {2, "60 ohm", checks.Undecided, false, false},
		{2, "5 kohm", checks.Undecided, false, false}, {2, "open", checks.Fail, true, false},
		{2, "resistor 4.7 kohm", checks.Undecided, false, false}, {2, "resistor open", checks.Fail, true, false},
	} {
		c := cableRows(t, tc.zone, tc.line, nil)["continuity"]
		row := c.Row.(ContinuityRow)
		assert.Equal(t, tc.want, c.Ruling, "zone %d: %s", tc.zone, tc.line)
		assert.Equal(t, tc.open, row.Open, "zone %d: %s", tc.zone, tc.line)
		assert.Equal(t, tc.short, row.Short, "zone %d: %s", tc.zone, tc.line)
	}
	assert.InDelta(t, 7.8, cableRows(t, 1, "7.8 ohm", nil)["continuity"].Row.(ContinuityRow).Cable, 1e-9)
	assert.Equal(t, lack(LackZoneCable), cableRows(t, 2, "60 ohm", nil)["continuity"].Missing)
	assert.Equal(t, lack(LackEndOfLine), cableRows(t, 2, "resistor 4.7 kohm", nil)["continuity"].Missing)
	assert.Empty(t, cableRows(t, 1, "none", nil))
}

// The worse of both counts; an instrument of which nothing is stated reads within a tenth, and
// tests nothing.
func TestInsulationOfACable(t *testing.T) {
	tester := &record.Tester{Name: "t", Volt: 250, Share: 0.05}
	declared := []string{"zones:", "limits: {insulation: 1 Mohm}\nzones:"}
	for _, tc := range []struct {
		line    string
		with    *record.Tester
		changes []string
		want    checks.Ruling
		worst   CablePart
	}{
		{"none >200 Mohm >200 Mohm", tester, nil, checks.Pass, BetweenCores},
		{"none >200 Mohm 90 kohm", tester, nil, checks.Fail, CoresToEarth},
		{"none 300 kohm >200 Mohm", tester, nil, checks.Undecided, BetweenCores},
		{"none none 20 Mohm", tester, nil, checks.Pass, CoresToEarth},
		{"none 300 kohm 90 kohm", tester, nil, checks.Fail, CoresToEarth},
		{"none 0.7 Mohm 20 Mohm", tester, nil, checks.Pass, BetweenCores},
		{"none 0.7 Mohm 20 Mohm", tester, declared, checks.Fail, BetweenCores},
		{"none 20 Mohm 20 Mohm", &record.Tester{Name: "t", Volt: 9}, nil, checks.Undecided, BetweenCores},
		{"none 20 Mohm 20 Mohm", nil, nil, checks.Undecided, BetweenCores},
	} {
		c := cableRows(t, 2, tc.line, tc.with, tc.changes...)["insulation"]
		assert.Equal(t, tc.want, c.Ruling, tc.line)
		assert.Equal(t, tc.worst, c.Row.(InsulationRow).Worst, tc.line)
	}
	share := cableRows(t, 2, "none 20 Mohm", &record.Tester{Name: "t"})["insulation"].Row.(InsulationRow).Share
	assert.Equal(t, Assumable{Value: 0.1, Assumed: true}, share)
}

// A far end that was shorted says nothing of what was there; a resistor does.
func TestACableIsGuessedFromWhatWasThere(t *testing.T) {
	of := func(line string) []checks.GuessCode {
		f := record.CableTested{Is: checks.CableSeen{Cores: 2, Colours: []string{"red", "black"}}}
		f.Values, _ = checks.ParseCableMeasured(line)
		var codes []checks.GuessCode
		for _, g := range GuessCable(f) {
			codes = append(codes, g.What)
		}
		return codes
	}
	bare := []checks.GuessCode{checks.SupplyOrSounder, checks.ContactLoop}
	assert.Equal(t, bare, of("1.4 ohm"))
	assert.Equal(t, bare, of("resistor open"))
	assert.Equal(t, append([]checks.GuessCode{checks.EndOfLine}, bare...), of("resistor 4.71k"))
}

// A stage that was left out is one limitation, with its reason; a retest takes all of it.
func TestAStageLeftOutIsOneLimitation(t *testing.T) {
	s := &story{t: t, record: &record.Record{}}
	s.open(cableSite, programme.Handover, ownList)
	s.tell(listening)
	left := func(id string) record.Answer {
		return record.Answer{Step: id, Result: record.LeftOut, Remark: "no instrument"}
	}
	all := []string{programme.IDIsolated, programme.IDTester, "cables/zone-1", "cables/zone-2", "cables/apart-1",
		"cables/apart-2"}
	for _, id := range all {
		s.tell(left(id))
	}
	a := Assess(s.record)
	var about []Finding
	for _, f := range a.Limitations() {
		if f.Subject.Part == PartCables || strings.HasPrefix(f.Step, "cables/") {
			about = append(about, f)
		}
	}
	require.Len(t, about, 1)
	assert.Equal(t, CablesLeftOut{2}, about[0].What)
	assert.Equal(t, "no instrument", about[0].Because)
	assert.Equal(t, Fault, about[0].Severity())
	assert.Equal(t, all, a.RestsOn(about[0]))
	for _, id := range all {
		assert.True(t, Unsatisfied(s.record)[id], id)
	}
	assert.Contains(t, a.Cautions(), CautionCables)
}

// Who leaves a cable out that was measured takes back what it proved, and no defect.
func TestACableLeftOutKeepsItsDefects(t *testing.T) {
	for line, defects := range map[string]int{"7.8 ohm 200 Mohm 200 Mohm": 0, "open 200 Mohm 200 Mohm": 1,
		"open 10 kohm 200 Mohm": 2} {
		s := &story{t: t, record: &record.Record{}}
		s.open(cableSite, programme.Handover, ownList)
		s.tell(listening, record.Answer{Step: programme.IDIsolated, Result: record.Done},
			record.Tester{Step: programme.IDTester, Name: "tester 12", Volt: 250})
		values, err := checks.ParseCableMeasured(line)
		require.NoError(t, err)
		seen, err := checks.ParseCableSeen("4 red black green white")
		require.NoError(t, err)
		s.tell(record.CableTested{Step: "cables/zone-1", Seen: "4 red black green white", Is: seen, Measured: line,
			Values: values}, record.Reopened{Step: "cables/zone-1"},
			record.Answer{Step: "cables/zone-1", Result: record.LeftOut, Remark: "no time"})
		a := Assess(s.record)
		found := 0
		for _, f := range a.Findings() {
			if f.Step == "cables/zone-1" {
				found++
			}
		}
		assert.Equal(t, defects, found, line)
		assert.Equal(t, defects > 0, a.Cables()[0].Tested != nil, line)
	}
}

// What the site file does not say is one limitation of a hand-over and of a take-over, of no
// other visit; and what it says of all is none.
func TestWhetherCablesAreReusedHasToBeSaid(t *testing.T) {
	of := func(kind programme.VisitKind, text string) []Statement {
		s := &story{t: t, record: &record.Record{}}
		s.open(text, kind, ownList)
		s.tell(listening)
		var all []Statement
		for _, f := range Assess(s.record).Limitations() {
			if f.Subject.Part == PartCables {
				all = append(all, f.What)
			}
		}
		return all
	}
	unsaid := strings.Replace(cableSite, "cables: {reused: \"yes\"}\n", "", 1)
	partly := strings.Replace(unsaid, "conductor: 0.5 mm2}", "conductor: 0.5 mm2, reused: \"no\"}", 1)
	for kind, told := range map[programme.VisitKind]bool{programme.Handover: true, programme.TakeOver: true,
		programme.Maintenance: false} {
		assert.Empty(t, of(kind, strings.Replace(cableSite, "\"yes\"", "\"no\"", 1)), kind)
		if !told {
			assert.Empty(t, of(kind, unsaid), kind)
			continue
		}
		assert.Equal(t, []Statement{ReuseNotSaid{All: true}}, of(kind, unsaid), kind)
		assert.Equal(t, []Statement{ReuseNotSaid{Zones: []programme.ZoneName{{Number: 2, Name: "Hall"}}}}, of(kind, partly),
			kind)
	}
}

// One cable that was left out is listed by itself, and so is what was not measured of another;
// between the cores of a single one there is nothing to measure.
func TestWhatIsNotKnownOfOneCable(t *testing.T) {
	seen := func(text, line string) []any {
		f := record.CableTested{Step: "cables/zone-1", Seen: text, Measured: line}
		var err error
		f.Is, err = checks.ParseCableSeen(text)
		require.NoError(t, err)
		f.Values, err = checks.ParseCableMeasured(line)
		require.NoError(t, err)
		return []any{f}
	}
	for _, c := range []struct {
		name  string
		facts []any
		want  []Statement
	}{
		{"left out", []any{answer("cables/zone-1", record.LeftOut, "no time")}, []Statement{NotTested{}}},
		{"all of two cores", seen("2 red black", "7.8 ohm 200 Mohm 200 Mohm"), nil},
		{"two cores, not between them", seen("2 red black", "7.8 ohm none 200 Mohm"),
			[]Statement{CableUnmeasured{[]CablePart{BetweenCores}}}},
		{"one core", seen("1 red", "7.8 ohm none 200 Mohm"), nil},
		{"one core, nothing", seen("1 red", "none none none"),
			[]Statement{CableUnmeasured{[]CablePart{LoopOfCable, CoresToEarth}}}},
	} {
		s := &story{t: t, record: &record.Record{}}
		s.open(cableSite, programme.Handover, ownList)
		s.tell(listening, record.Answer{Step: programme.IDIsolated, Result: record.Done},
			record.Tester{Step: programme.IDTester, Name: "tester 12", Volt: 250})
		s.tell(c.facts...)
		var got []Statement
		for _, f := range Assess(s.record).limitations {
			if f.Step == "cables/zone-1" && f.Subject.Step != nil {
				got = append(got, f.What)
			}
		}
		assert.Equal(t, c.want, got, c.name)
	}
}
