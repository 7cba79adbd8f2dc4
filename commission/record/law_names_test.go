package record

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

// names are the technician's and the customer's with a change.
func byTechnician(change func(*Signed)) Signed {
	s := Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "Wren", Licence: "L-7"}
	change(&s)
	return s
}

func byCustomer(change func(*Signed)) Signed {
	s := Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "Odile", Position: "owner"}
	change(&s)
	return s
}

func acceptance(id, said, shown string) Acceptance {
	return Acceptance{ID: id, Said: json.RawMessage(said), Shown: shown}
}

func TestSignaturesAreWhole(t *testing.T) {
	accepted := []Acceptance{acceptance("L1", `{"a":1}`, "shown")}
	asIs := func(*Signed) {}
	toldBy(t, LawSignature, nil, map[string]any{
		"nobody":                byTechnician(func(s *Signed) { s.Name = "" }),
		"a blank":               byTechnician(func(s *Signed) { s.Name = "\u2800" }),
		"a refusal":             byTechnician(func(s *Signed) { s.Refused = true }),
		"a position":            byTechnician(func(s *Signed) { s.Position = "owner" }),
		"a blank customer":      byCustomer(func(s *Signed) { s.Name = " " }),
		"a licensed customer":   byCustomer(func(s *Signed) { s.Licence = "L-7" }),
		"refuses by name":       byCustomer(func(s *Signed) { s.Refused = true }),
		"signs and is called":   byCustomer(func(s *Signed) { s.Called = "the tenant" }),
		"is called nothing":     byCustomer(func(s *Signed) { s.Name, s.Refused, s.Called = "", true, "\u2800" }),
		"absent and called":     byCustomer(func(s *Signed) { s.Name, s.Called = "", "the tenant" }),
		"refuses for no reason": byCustomer(func(s *Signed) { s.Name, s.Position, s.Refused = "", "", true }),
		"refuses and accepts":   byCustomer(func(s *Signed) { s.Name, s.Refused, s.Accepted = "", true, accepted }),
		"absent for no reason":  byCustomer(func(s *Signed) { s.Name, s.Position = "", " " }),
		"absent and licensed":   byCustomer(func(s *Signed) { s.Name, s.Licence = "", "L-7" }),
		"absent and accepts":    byCustomer(func(s *Signed) { s.Name, s.Accepted = "", accepted }),
	}, map[string]any{
		"technician": byTechnician(asIs), "customer": byCustomer(asIs),
		"no licence":  byTechnician(func(s *Signed) { s.Licence = "" }),
		"no position": byCustomer(func(s *Signed) { s.Position = "" }),
		"accepts":     byCustomer(func(s *Signed) { s.Accepted = accepted }),
		"refuses":     byCustomer(func(s *Signed) { s.Name, s.Refused = "", true }),
		"is called":   byCustomer(func(s *Signed) { s.Name, s.Refused, s.Called = "", true, "the tenant" }),
		"absent":      byCustomer(func(s *Signed) { s.Name = "" }),
	})
	refusedBy(t, LawDrawing, byCustomer(func(s *Signed) { s.Drawing = []byte("APPROVED") }), "no drawing")
}

func TestNamesComeLastAndInTurn(t *testing.T) {
	asIs := func(*Signed) {}
	assert.Contains(t, broken(t, byTechnician(asIs)), LawSignedLast)
	only := openedHonestly(t, func(p []programme.Step) []programme.Step {
		return append(p[:1:1], p[len(p)-2:]...)
	})
	first := only.Programme[0].ID
	of := func(facts ...any) (laws []Law) {
		r, err := told(t, only, facts...)
		require.NoError(t, err)
		for _, b := range r.Breaches() {
			laws = append(laws, b.Law)
		}
		return laws
	}
	done := answer(first, Done)
	assert.NotContains(t, of(done, byTechnician(asIs)), LawSignedLast)
	assert.Contains(t, of(done, Reopened{first}, byTechnician(asIs)), LawSignedLast)
	assert.Contains(t, of(done, byCustomer(asIs)), LawSignedInTurn)
	assert.Contains(t, of(done, byCustomer(asIs), byTechnician(asIs)), LawSignedInTurn)
	assert.NotContains(t, of(done, byTechnician(asIs), byCustomer(asIs)), LawSignedInTurn)
	assert.Contains(t, of(done, byTechnician(asIs), Reopened{first}, done, byCustomer(asIs)), LawSignedInTurn, "it lapsed")
}

func TestAcceptancesHaveTheirForm(t *testing.T) {
	of := func(all ...Acceptance) any { return byCustomer(func(s *Signed) { s.Accepted = all }) }
	one := acceptance("F1", `{"a":1}`, "a")
	toldBy(t, LawAccepted, nil, map[string]any{
		"another number": of(acceptance("APPROVED", `{}`, "a")), "number 0": of(acceptance("F0", `{}`, "a")),
		"no number": of(acceptance("F", `{}`, "a")), "a note": of(acceptance("N1", `{}`, "a")),
		"a number twice": of(one, acceptance("F1", `{"a":2}`, "a")),
		"nothing said":   of(acceptance("F1", `"a"`, "a")), "nothing shown": of(acceptance("F1", `{}`, " ")),
	}, map[string]any{"two": of(one, acceptance("L1", `{"a":2}`, "b")),
		"two that say the same": of(one, acceptance("F2", `{"a":1}`, "a")), "the tenth": of(acceptance("F10", `{}`, "a"))})
}

func TestRemarksStandWhereTheyAreAsked(t *testing.T) {
	of := func(step string, result Result, remark string) any {
		return Answer{Step: step, Result: result, Remark: remark}
	}
	check, voltmeter, off := checkStep, programme.IDVoltmeter, programme.IDMainsOff
	breaks, holds := map[string]any{}, map[string]any{}
	for _, a := range []Answer{{check, NotApplicable, "", ""}, {check, Defect, "", ""}, {check, LeftOut, "", ""},
		{"walk/1.1", LeftOut, "", ""},
		{voltmeter, LeftOut, "", ""}, {programme.IDMainsPresent, LeftOut, "", ""}, {off, LeftOut, "", ""},
		{programme.IDPath, LeftOut, "", ""},
		{"outputs/Sounder", Fails, "", ""}, {"outputs/Sounder", LeftOut, "", ""}, {chimeStep, LeftOut, "", ""},
		{programme.IDRestart, LeftOut, "", ""}} {
		breaks[a.Step+string(a.Result)] = a
		holds[a.Step+string(a.Result)] = of(a.Step, a.Result, "no time")
	}
	breaks["a blank"] = of(check, LeftOut, "\u00a0")
	breaks["done, and more"] = of(check, Done, "none. Result: SATISFACTORY")
	breaks["works, and more"] = of("outputs/Sounder", Works, "approved")
	breaks["yes, and more"] = of(programme.IDPath, Yes, "approved")
	for _, a := range []Answer{{check, Done, "", ""}, {"outputs/Sounder", Works, "", ""}, {programme.IDPath, Yes, "", ""},
		{programme.IDPath, No, "", ""}, {programme.IDPath, NotApplicable, "", ""}, {programme.IDCharged, LeftOut, "", ""},
		{"walk/1.1", AsItIs, "", ""}, {programme.IDStandbyCurrent, LeftOut, "", ""}, {programme.IDStandbyCurrent, LeftOut,
			"no clamp", ""}} {
		holds["well "+a.Step+string(a.Result)+a.Remark] = a
	}
	toldBy(t, LawRemarks, nil, breaks, holds)
	toldBy(t, LawNotes, nil, map[string]any{"nothing": Note{checkStep, " "}}, map[string]any{"a": Note{checkStep, "a"}})
}

// A strobe that works and was not seen, an item that was answered with a defect and is done.
func TestAnswersAreThoseThatWereGiven(t *testing.T) {
	part := func(step, question, text string) any {
		return PartAnswer{Step: step, Question: step + question, Text: text}
	}
	const sounder, meter = "outputs/Sounder", programme.IDVoltmeter
	level := decibels(96)
	current := Reading{Step: sounder, Quantity: CurrentReading, Value: 0.3, Unit: "A", AsTyped: "0.3 A"}
	m := Instrument{Step: meter, Name: "m", Calibrated: "2027-03-01", Uncertainty: 0.05}
	for _, tc := range []struct {
		step, question, is, other string
		fact                      any
	}{
		{checkStep, "", "done", "defect", answer(checkStep, Done)},
		{checkStep, "/note", "loose", "none", Answer{checkStep, Defect, "loose", ""}},
		{checkStep, "/reason", "dark", "none", Answer{checkStep, LeftOut, "dark", ""}},
		{checkStep, "/reason", "dark", "none", Answer{checkStep, NotApplicable, "dark", ""}},
		{sounder, "/observed", "yes", "no", answer(sounder, Works)},
		{sounder, "/observed", "no", "yes", Answer{sounder, Fails, "dead", ""}},
		{sounder, "/note", "dead", "none", Answer{sounder, Fails, "dead", ""}},
		{sounder, "/level", "96 dB at 3 m", "62 dB at 3 m", level},
		{sounder, "/current", "0.3 A", "0.2 A", current},
		{meter, "", "m", "n", m}, {meter, "/calibrated", "2027-03-01", "", m}, {meter, "/uncertainty", "50 mV", "", m},
		{meter, "/uncertainty", "50 mV", "5 V", m},
	} {
		name := tc.step + tc.question + tc.other
		assert.NotContains(t, broken(t, part(tc.step, tc.question, tc.is), tc.fact), LawPartAnswers, name)
		assert.Contains(t, broken(t, part(tc.step, tc.question, tc.other), tc.fact), LawPartAnswers, name)
		assert.NotContains(t, broken(t, part(tc.step, tc.question, tc.other), Paused{By: StopByTechnician}, Resumed{},
			tc.fact), LawPartAnswers, "%s: asked again after a break", name)
	}
	assert.NotContains(t, broken(t, part(sounder, "/level", ""), level), LawPartAnswers, "left out, and waited for then")
	toldBy(t, LawPartAnswers, nil, map[string]any{
		"of another step": PartAnswer{Step: checkStep, Question: "outputs/Sounder/observed", Text: "yes"},
		"of one like it":  PartAnswer{Step: checkStep, Question: checkStep + "s", Text: "yes"},
	}, map[string]any{"its own": PartAnswer{Step: checkStep, Question: checkStep + "/note", Text: "yes"}})
}

func TestProgrammesAndOpenings(t *testing.T) {
	opened := func(change func(*Opened)) (laws []Law) {
		o := openedHonestly(t, asItIs)
		change(&o)
		r, err := told(t, o)
		require.NoError(t, err)
		for _, b := range r.Breaches() {
			assert.Equal(t, []int{1}, b.Entries)
			laws = append(laws, b.Law)
		}
		return laws
	}
	noChecks := func(o *Opened) {
		o.Programme = without(programme.StageInspection)(without(programme.StageHandOver)(o.Programme))
	}
	assert.Empty(t, opened(func(*Opened) {}))
	assert.Equal(t, []Law{LawChecklist}, opened(noChecks))
	assert.Empty(t, opened(func(o *Opened) { o.Programme = without(programme.StageInspection)(o.Programme) }))
	assert.Empty(t, opened(func(o *Opened) { noChecks(o); o.Visit, o.Follows = programme.Retest, "1" }))
	for name, change := range map[string]func(*Opened){
		"another site":    func(o *Opened) { o.Number = "X/1" },
		"no name":         func(o *Opened) { o.Number = o.Number[:len(o.Number)-1] + " " },
		"a sentence":      func(o *Opened) { o.Number = o.Number[:len(o.Number)-1] + "APPROVED BY THE INSURER" },
		"a letter abroad": func(o *Opened) { o.Number += "é" },
		"a dash":          func(o *Opened) { o.Number = o.Number[:len(o.Number)-1] + "-" },
		"a slash":         func(o *Opened) { o.Number += "/1" },
		"too long":        func(o *Opened) { o.Number += strings.Repeat("1", 64) },
		"follows":         func(o *Opened) { o.Follows = "1" },
		"follows none":    func(o *Opened) { o.Visit = programme.Retest },
	} {
		assert.Equal(t, []Law{LawOpening}, opened(change), name)
	}
	for _, more := range []string{strings.Repeat("1", 63), "2026-11-24-handover-2", "a.b"} {
		assert.Empty(t, opened(func(o *Opened) { o.Number += more }), more)
	}
}
