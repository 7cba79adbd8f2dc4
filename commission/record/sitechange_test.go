package record

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// mended is the honest site file with a text replaced, and the programme that follows.
func mended(t *testing.T, was, is string) SiteChanged {
	t.Helper()
	text := strings.Replace(honestSite, was, is, 1)
	require.NotEqual(t, honestSite, text)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	list.Looks = nil
	return SiteChanged{Site: text, Programme: programme.Revised(readSite(t, honestSite), readSite(t, text),
		openedHonestly(t, asItIs).Programme,
		programme.Of(readSite(t, text), list))}
}

// A wrong address: only what leans on it is open again. What came of it stands under the
// earlier file, and counts no more.
func TestAMendedAddress(t *testing.T) {
	change := mended(t, "address: z2", "address: z7")
	facts := story(tried("walk/1.1", "z1"), tried("walk/2.1", "z2"), []any{Note{Step: "walk/2.1", Text: "stiff"},
		answer(checkStep, Defect), volts(programme.IDMainsPresent, 13.7, "13.7 V"), time.Minute, change})
	r := recordOf(t, facts...)
	assert.Equal(t, "z7", r.Site().Zone(2).Address)
	assert.True(t, r.Find("walk/1.1").Concluded())
	assert.Equal(t, Defect, r.Find(checkStep).Result())
	assert.True(t, r.Find(programme.IDMainsPresent).Concluded())
	assert.False(t, r.Find("walk/2.1").Concluded())
	assert.Empty(t, r.Find("walk/2.1").Attempts())
	assert.Equal(t, []string{"stiff"}, r.Find("walk/2.1").Notes())
	require.Len(t, r.SiteChanges(), 1)
	c := r.SiteChanges()[0]
	assert.Equal(t, at(2*(2*1400)*time.Millisecond+time.Minute), c.At)
	assert.Equal(t, []string{"walk/2.1"}, stepIDs(c.Again))
	assert.True(t, c.Again[0].Concluded())
	assert.Empty(t, c.Removed)
	assert.Equal(t, "z2", c.Earlier.Zone(2).Address)
	assert.Equal(t, change.Programme, r.Programme())
	assert.Equal(t, honestSite, r.Opened().Site, "the first entry stays as it was")

	// It is proved under its address, and not under the earlier one.
	again := recordOf(t, append(facts, tried("walk/2.1", "z7")...)...)
	assert.Equal(t, Proved, again.Find("walk/2.1").Last().Verdict())
	assert.Len(t, again.Find("walk/2.1").Tried(), 1)
	again = recordOf(t, append(facts, tried("walk/2.1", "z2")[:5]...)...)
	assert.False(t, again.Find("walk/2.1").Concluded())
	assert.Equal(t, map[string]int{"z2": 1}, again.Strangers())
	corrected := recordOf(t, append(facts, corrects(23, NoteField, "smooth"))...)
	assert.Equal(t, []string{"smooth"}, corrected.Find("walk/2.1").Notes())
	r.SiteChanges()[0].Again[0] = nil
	assert.NotNil(t, r.SiteChanges()[0].Again[0], "whoever reads it cannot change it")
}

// A photograph shows what it showed when it was added, whatever the site has now.
func TestAPhotographOfWhatIsGone(t *testing.T) {
	r := recordOf(t, photo(1, func(p *Photographed) { p.About = "output/Sounder" }),
		photo(2, func(p *Photographed) { p.About = "zone/1" }),
		mended(t, "{name: Sounder, kind: sounder, address: s}, ", ""))
	assert.Nil(t, r.Site().Output("Sounder"))
	assert.Equal(t, Motif{Output: "Sounder"}, r.Photographs()[0].Shows)
	assert.Equal(t, 1, r.Photographs()[1].Shows.Zone.Number)
}

// What anything had come of is listed as opened again or removed, nothing else.
func TestWhatASiteChangeLists(t *testing.T) {
	gone := mended(t, "{name: Sounder, kind: sounder, address: s}, ", "")
	r := recordOf(t, answer("outputs/Sounder", Works), gone)
	assert.Nil(t, r.Find("outputs/Sounder"))
	assert.Nil(t, r.Find(programme.IDAlarmLoad))
	assert.NotNil(t, r.Find("inspection/sounder-fixing"), "a line of the checklist stays")
	assert.Equal(t, []string{"outputs/Sounder"}, stepIDs(r.SiteChanges()[0].Removed), "of the alarm load nothing had come")
	assert.Empty(t, r.SiteChanges()[0].Again)
	assert.NotContains(t, stepIDs(r.Outcomes()), "outputs/Sounder")

	more := mended(t, "detectors: [Door]", "detectors: [Door, Flap]")
	r = recordOf(t, more)
	assert.False(t, r.Find("walk/1.2").Concluded())
	assert.Empty(t, r.SiteChanges()[0].Again, "nothing had come of any")
	assert.Equal(t, "walk/1.2", r.Programme()[slices.IndexFunc(r.Programme(), func(s programme.Step) bool {
		return s.ID == "walk/1.1"
	})+1].ID)

	sooner := mended(t, "hold: 60 s", "hold: 30 s")
	r = recordOf(t, volts("supply/standby-4", 12, "12 V"), sooner)
	assert.Equal(t, []string{"supply/standby-4"}, stepIDs(r.SiteChanges()[0].Again))
	assert.Equal(t, 30.0, r.Find("supply/standby-4").Step().AfterSeconds)

	address := mended(t, "address: z2", "address: z7")
	for name, tc := range map[string]struct {
		fact any
		was  bool
	}{
		"a cue":    {Cue{Step: "walk/2.1", Half: Operate}, true},
		"left out": {answer("walk/2.1", LeftOut), true},
		"a loop":   {Reading{Step: "walk/2.1", Quantity: LoopReading, Value: 4700, Unit: "ohm", AsTyped: "4k7"}, true},
		"a remark": {Note{Step: "walk/2.1", Text: "a"}, false},
	} {
		r = recordOf(t, tc.fact, Ended{Step: "walk/2.1", By: ByPause}, address)
		assert.Equal(t, tc.was, len(r.SiteChanges()[0].Again) == 1, name)
	}
	r = recordOf(t, answer("walk/2.1", LeftOut), Reopened{"walk/2.1"}, address)
	assert.Len(t, r.SiteChanges()[0].Again, 1, "it was left out once")
	assert.True(t, (&Outcome{instrument: &Instrument{}}).Taken())
	assert.False(t, (&Outcome{notes: []string{"a"}}).Taken())
}

// What is known of addresses is known no more; addresses that the site has now are no
// strangers, and those that it has no more are not garbled.
func TestWhatASiteChangeForgets(t *testing.T) {
	reports := func(address string, s signal.State) signal.Signal {
		return signal.Signal{Address: address, State: s, Raw: `"ajar"`}
	}
	stuck := func(output string) Energised {
		return Energised{Output: output, On: true, By: SwitchedByHand, Failed: "no answer"}
	}
	off := func(output string) Energised { return Energised{Output: output, By: SwitchedByHand} }
	facts := []any{reports("z1", signal.Active), reports("z7", signal.Active), reports("z8", signal.Active),
		reports("z1", signal.NotUnderstood), reports("z2", signal.NotUnderstood), stuck("Sounder"), off("Sounder"),
		stuck("Chime"), off("Chime")}
	r := recordOf(t, append(facts, mended(t, "address: z2", "address: z7"))...)
	assert.Equal(t, map[string]int{"z8": 1}, r.Strangers())
	assert.NotEmpty(t, r.Garbled("z1"))
	assert.Empty(t, r.Garbled("z2"))
	assert.Equal(t, signal.Unknown, r.StateOf("z1"))
	assert.NotEmpty(t, r.Stuck("Sounder"))
	r = recordOf(t, append(facts, mended(t, "{name: Sounder, kind: sounder, address: s}, ", ""))...)
	assert.Empty(t, r.Stuck("Sounder"))
	assert.NotEmpty(t, r.Stuck("Chime"))
	// A cue that was given before the change finds nothing of what was reported before it.
	r = recordOf(t, reports("z1", signal.Active), 5*time.Second, reports("z1", signal.Restored),
		mended(t, "address: z2", "address: z7"), Cue{Step: "walk/1.1", Half: Operate, BeforeNS: time.Second.Nanoseconds()})
	assert.Equal(t, signal.Unknown, r.Find("walk/1.1").Attempts()[0].Operate.before)
}

// Where another detector is the farthest, its voltage is another step of the same name.
func TestTheSameStepOfAnotherDetector(t *testing.T) {
	fed := func(door, window string) string {
		text := strings.Replace(honestSite, "[Door]", "[{name: Door, powered: {current: 15 mA, minimum: 9 V, cable_length: "+
			door+", conductor: 22 AWG}}]", 1)
		return strings.Replace(text, "[Window]", "[{name: Window, powered: {current: 15 mA, minimum: 9 V, cable_length: "+
			window+", conductor: 22 AWG}}]", 1)
	}
	of := func(text string) []programme.Step { return programme.Of(readSite(t, text), programme.Checklist{}) }
	near, far := fed("40 m", "9 m"), fed("4 m", "9 m")
	r, err := told(t, Opened{Visit: programme.Handover, SiteName: "site.yaml", Site: near, Programme: of(near)},
		volts(programme.IDFarVoltage, 11, "11 V"), answer("walk/2.1", LeftOut), SiteChanged{Site: far, Programme: of(far)})
	require.NoError(t, err)
	assert.Equal(t, []string{programme.IDFarVoltage}, stepIDs(r.SiteChanges()[0].Again))
	assert.Equal(t, "2.1", string(r.Find(programme.IDFarVoltage).Step().Point))
	assert.True(t, r.Find("walk/2.1").Concluded())
}

// Names lapse: who has signed has not seen it.
func TestASiteChangeLetsNamesLapse(t *testing.T) {
	r := recordOf(t, technician, customer, mended(t, "address: z2", "address: z7"))
	assert.True(t, r.Lapsed())
	assert.Nil(t, r.Customer())
	assert.Nil(t, r.Find(programme.IDTechnician).Signed())
}

// What is taken again without mains needs it removed again, and given back; not if it is
// removed still.
func TestASiteChangeOfTheSupply(t *testing.T) {
	proved := []any{answer(programme.IDMainsOff, Done), answer("supply/proof-1.1", AsItIs)}
	back := []any{answer(programme.IDMainsOn, Done), volts(programme.IDMainsBack, 13.7, "13.7 V")}
	change := mended(t, "address: z1", "address: z7")
	r := recordOf(t, append(slices.Concat(proved, back), change)...)
	assert.Equal(t, []string{"supply/proof-1.1"}, stepIDs(r.SiteChanges()[0].Again))
	for _, id := range []string{programme.IDMainsOff, programme.IDMainsOn, programme.IDMainsBack} {
		assert.False(t, r.Find(id).Concluded(), id)
	}
	r = recordOf(t, append(proved, change)...)
	assert.True(t, r.Find(programme.IDMainsOff).Concluded())
	assert.False(t, r.MainsOff().IsZero())
	r = recordOf(t, append(slices.Concat(proved, back), mended(t, "address: z2", "address: z7"))...)
	assert.True(t, r.Find(programme.IDMainsOff).Concluded(), "nothing on standby leans on it")
	assert.Len(t, recordOf(t, append(slices.Concat(proved, back), mended(t, "hold: 60 s", "hold: 30 s"))...).
		SiteChanges()[0].Again, 4, "all of the supply that had been taken")
}

// A change that does not follow from the file, or would hide something, is refused.
func TestForgedSiteChanges(t *testing.T) {
	honest := mended(t, "address: z2", "address: z7")
	with := func(change func([]programme.Step) []programme.Step) SiteChanged {
		return SiteChanged{Site: honest.Site, Programme: change(slices.Clone(honest.Programme))}
	}
	drop := func(id string) SiteChanged {
		return with(func(p []programme.Step) []programme.Step {
			return slices.DeleteFunc(p, func(s programme.Step) bool { return s.ID == id })
		})
	}
	on := Energised{Output: "Sounder", On: true, By: SwitchedByHand}
	for name, tc := range map[string]struct {
		facts []any
		what  SiteChanged
		says  string
	}{
		"a detector that the site still has": {nil, drop("walk/1.1"), `step "walk/1.1" leaves the programme`},
		"a line of the checklist":            {nil, drop(checkStep), "leaves the programme"},
		"another text of a line": {nil, with(changed(checkStep, func(s *programme.Step) { s.Text = "more or less" })),
			"leaves the programme"},
		"another zone": {nil, with(changed("walk/2.1", func(s *programme.Step) { s.Zone = 1 })),
			"as the programme has it"},
		"twice": {nil, with(func(p []programme.Step) []programme.Step { return append(p, p[0]) }), "stands twice"},
		"in another order": {nil, with(func(p []programme.Step) []programme.Step {
			slices.Reverse(p)
			return p
		}), "stands in another order"},
		"a programme of the earlier file": {nil, SiteChanged{Site: mended(t, "hold: 60 s", "hold: 30 s").Site,
			Programme: honest.Programme}, "as the programme has it"},
		"while a trial waits": {[]any{Cue{Step: "walk/1.1", Half: Operate}}, honest, "while a trial waits"},
		"an output that is on": {[]any{on}, mended(t, "{name: Sounder, kind: sounder, address: s}, ", ""),
			`output "Sounder" is on`},
		"without mains, and no step to put it back": {[]any{answer(programme.IDMainsOff, Done)},
			mended(t, "chemistry: lead-acid", "chemistry: none"), "no step puts it back"},
	} {
		t.Run(name, func(t *testing.T) {
			refuses(t, tc.says, append(tc.facts, tc.what)...)
			assert.ErrorContains(t, recordOf(t, tc.facts...).MayChangeSite(tc.what), tc.says)
		})
	}
	_, err := told(t, openedHonestly(t, asItIs), SiteChanged{Site: "reference: ["})
	assert.ErrorContains(t, err, "entry 3 (site-changed): ")
	assert.Error(t, recordOf(t).MayChangeSite(SiteChanged{Site: "reference: ["}))
	r := recordOf(t, on)
	assert.NoError(t, r.MayChangeSite(honest), "it is on, and stays")
	assert.Empty(t, r.SiteChanges(), "asking changes nothing")
	assert.NoError(t, recordOf(t).MayChangeSite(mended(t, "chemistry: lead-acid", "chemistry: none")))
	assert.NoError(t, recordOf(t, Energised{Output: "Chime", On: true, By: SwitchedByHand}).MayChangeSite(
		mended(t, "{name: Sounder, kind: sounder, address: s}, ", "")))
	long := honest
	long.Site += strings.Repeat("# a long remark about what is fitted here, and why\n", 1400)
	_, err = told(t, openedHonestly(t, asItIs), long)
	assert.NoError(t, err, "a site file may be long")
	r, err = told(t, openedHonestly(t, without(programme.StageOutputs)), honest)
	require.NoError(t, err)
	assert.NotNil(t, r.Find("outputs/Sounder"), "a step that the visit did not have may come")
}
