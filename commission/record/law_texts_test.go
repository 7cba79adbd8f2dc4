package record

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// A name across a line break, "APPROVED BY THE INSURER" in its second line, and whatever
// else no keyboard line holds, in every text that somebody types.
func TestTypedTextsAreOneLine(t *testing.T) {
	for _, text := range []string{"a\nAPPROVED BY THE INSURER", "a\rb", "a\tb", "a\x1b[2J", "a\x7fb", "a\u202eb", "a\u200bb",
		"a\u2028b", strings.Repeat("w", 4001)} {
		for _, f := range []Fact{
			Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: text},
			Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "a", Licence: text},
			Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "a", Position: text},
			Note{Step: checkStep, Text: text}, Answer{Step: checkStep, Result: Defect, Remark: text},
			PartAnswer{Step: checkStep, Question: checkStep, Text: text}, Struck{Step: "walk/1.1", Trial: 1, Reason: text},
			Undertaken{Said: json.RawMessage("{}"), Action: Action(text)}, Undertaken{Said: json.RawMessage("{}"), Who: text},
			Instrument{Step: programme.IDVoltmeter, Name: text}, Discarded{Reason: text}, Discarded{Reason: "a", By: text},
			Corrected{Entry: 1, Text: text}, photo(1, func(p *Photographed) { p.Caption = text }),
		} {
			refusedBy(t, LawTypedLines, f, f.Kind()+" "+text[:2])
		}
	}
	recordOf(t, Note{Step: checkStep, Text: strings.Repeat("w", 4000)})
}

// What machines say is told, not refused: it may be longer, and is no line of a person.
func TestTextsOfMachinesAreSeen(t *testing.T) {
	heard := func(raw string) signal.Signal { return signal.Signal{Address: "z1", State: signal.Active, Raw: raw} }
	toldBy(t, LawTextsSeen, nil, map[string]any{
		"a payload": heard("\x1b[2J"), "an address": signal.Signal{Address: "z\u200b1", State: signal.Active},
		"a loss": signal.Connection{Why: signal.Broken, Detail: "a\nb"},
		"what was shown": Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "a", Accepted: []Acceptance{
			{ID: "L1", Said: json.RawMessage(`{}`), Shown: "a\nb"}}},
		"what was said": Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "a", Accepted: []Acceptance{
			{ID: "L1", Said: json.RawMessage(`{"a":["b\u202ec"]}`), Shown: "a"}}},
	}, map[string]any{"a long payload": heard(strings.Repeat("w", 5000)), "a picture of a control": heard("␛[2J")})
}

func TestTheSiteFileIsOne(t *testing.T) {
	for name, change := range map[string]func(string) string{
		"none":                func(string) string { return "" },
		"a name of two lines": func(s string) string { return s + "insurer: \"a\\nAPPROVED\"\n" },
		"a name turned round": func(s string) string { return s + "insurer: \"\\u202ea\"\n" },
		"a name without end":  func(s string) string { return s + "insurer: " + strings.Repeat("w", 4001) + "\n" },
	} {
		opened := openedHonestly(t, asItIs)
		opened.Site = change(opened.Site)
		_, err := told(t, opened)
		var refused *Refusal
		require.ErrorAs(t, err, &refused, name)
		assert.Equal(t, LawSiteFile, refused.Law, name)
	}
	opened := openedHonestly(t, asItIs)
	opened.Site += "insurer: " + strings.Repeat("w", 4000) + "\n"
	_, err := told(t, opened)
	assert.NoError(t, err)
}
