package record

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

// corrects is a correction with a reason and a name.
func corrects(entry int, f Field, text string) Corrected {
	return Corrected{Entry: entry, Field: f, Text: text, Reason: "a slip", By: "Bea"}
}

var (
	licensed = Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "L-7", Licence: "Ignace"}
	refusing = Signed{Step: programme.IDCustomer, Role: programme.Customer, Refused: true, Position: "too dear"}
	absent   = Signed{Step: programme.IDCustomer, Role: programme.Customer, Position: "on holyday"}
	owner    = Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "Bae"}
	holder   = Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "Bea", Position: "ower"}
	meter    = Instrument{Step: programme.IDVoltmeter, Name: "metre", Uncertainty: 0.1}
	caption  = photo(1, func(p *Photographed) { p.Caption = "dor" })
	promised = Undertaken{Said: loose, Action: "knew contact", By: "2026-12-01", Who: "Ignaz"}
)

// Which texts can be corrected, in one table: of each entry its fields, what may stand
// there, and what may not. Everything else of an entry can not.
func TestWhatCanBeCorrected(t *testing.T) {
	long := strings.Repeat("w", 201)
	for _, tc := range []struct {
		fact  Fact
		field Field
		is    string
		may   []string
		not   []string
	}{
		{licensed, NameField, "L-7", []string{"Ignace"}, []string{"", " ", "L-7", "a\nb"}},
		{licensed, LicenceField, "Ignace", []string{"L-7", ""}, []string{"Ignace", "a\x1bb"}},
		{owner, NameField, "Bae", []string{"Bea"}, []string{""}},
		{owner, PositionField, "", []string{"owner"}, []string{""}},
		{holder, PositionField, "ower", []string{"owner", ""}, []string{"a\nb"}},
		{refusing, PositionField, "too dear", []string{"too deep"}, []string{"", " "}},
		{refusing, CalledField, "", []string{"the tenant"}, []string{"", "a\nb"}},
		{absent, PositionField, "on holyday", []string{"on holiday"}, []string{""}},
		{Answer{Step: checkStep, Result: Defect, Remark: "lose"}, RemarkField, "lose", []string{"loose"}, []string{"", "lose"}},
		{answer(checkStep, Done), RemarkField, "", []string{"looked at twice"}, []string{"", "a\tb"}},
		{Note{Step: checkStep, Text: "dusty"}, NoteField, "dusty", []string{"rusty"}, []string{""}},
		{meter, InstrumentField, "metre", []string{"meter"}, []string{""}},
		{meter, CalibratedField, "", []string{"2027-01-31"}, []string{"soon", "2027-02-30"}},
		{meter, UncertaintyField, "0.1 V", []string{"20 mV", "0 V", ""}, []string{"little", "-1 V", "3 A"}},
		{caption, CaptionField, "dor", []string{"door", ""}, []string{long, "a\nb"}},
		{promised, ActionField, "knew contact", []string{"new contact", ""}, []string{"a\nb"}},
		{promised, DayField, "2026-12-01", []string{"2026-12-02", ""}, []string{"soon"}},
		{promised, WhoField, "Ignaz", []string{"Ignace", ""}, []string{"a\nb"}},
	} {
		typed := recordOf(t, tc.fact).Correctable()
		var found []string
		for _, p := range typed {
			assert.Equal(t, 3, p.Entry)
			if p.Field == tc.field {
				found = append(found, p.Text)
			}
		}
		assert.Equal(t, []string{tc.is}, found, tc.field)
		for _, text := range tc.may {
			r := recordOf(t, tc.fact, time.Minute, corrects(3, tc.field, text))
			require.Len(t, r.Corrections(), 1)
			c := r.Corrections()[0]
			assert.Equal(t, corrects(3, tc.field, text), c.Corrected)
			assert.Equal(t, tc.is, c.Earlier)
			assert.Equal(t, at(time.Minute), c.At)
			_, signs := tc.fact.(Signed)
			assert.Equal(t, signs, c.After, tc.field)
		}
		for _, text := range tc.not {
			refuses(t, "entry 4 (corrected)", tc.fact, corrects(3, tc.field, text))
			assert.Error(t, recordOf(t, tc.fact).MayCorrect(corrects(3, tc.field, text)))
		}
	}
}

// What nobody may correct: a reading, an answer's result, an acceptance, a name that
// nobody gave; what stands no more; without a reason or a name.
func TestWhatCannotBeCorrected(t *testing.T) {
	read := volts(programme.IDMainsPresent, 13.7, "13.7 V")
	for name, tc := range map[string]struct {
		facts []any
		what  Corrected
	}{
		"a reading's value":           {[]any{read}, corrects(3, "value", "12")},
		"a reading as it was typed":   {[]any{read}, corrects(3, "as_typed", "12 V")},
		"a reading's uncertainty":     {[]any{read}, corrects(3, UncertaintyField, "1 V")},
		"an answer's result":          {[]any{answer(checkStep, Defect)}, corrects(3, "result", "done")},
		"what was accepted":           {[]any{technician}, corrects(3, "accepted", "[]")},
		"a refusal":                   {[]any{refusing}, corrects(3, "refused", "false")},
		"the name of who refused":     {[]any{refusing}, corrects(3, NameField, "Bea")},
		"the name of nobody":          {[]any{absent}, corrects(3, NameField, "Bea")},
		"a technician's position":     {[]any{technician}, corrects(3, PositionField, "owner")},
		"a customer's licence":        {[]any{customer}, corrects(3, LicenceField, "L-7")},
		"another entry":               {[]any{technician}, corrects(4, NameField, "Bea")},
		"the first entry":             {[]any{technician}, corrects(1, NameField, "Bea")},
		"a photograph's hash":         {[]any{caption}, corrects(3, "sha256", "0")},
		"an answer that was replaced": {[]any{answer(checkStep, Defect), answer(checkStep, Done)}, corrects(3, RemarkField, "x")},
		"a name that has lapsed":      {[]any{technician, answer(checkStep, Done)}, corrects(3, NameField, "Bea")},
		"a meter that was replaced":   {[]any{meter, meter}, corrects(3, InstrumentField, "meter")},
		"no reason":                   {[]any{technician}, Corrected{Entry: 3, Field: NameField, Text: "Bea", Reason: " ", By: "Bea"}},
		"nobody":                      {[]any{technician}, Corrected{Entry: 3, Field: NameField, Text: "Bea", Reason: "a slip"}},
		"what was corrected before":   {[]any{technician, corrects(3, NameField, "Bea")}, corrects(4, "text", "Ida")},
	} {
		t.Run(name, func(t *testing.T) {
			refuses(t, "(corrected): ", append(tc.facts, tc.what)...)
		})
	}
}

// Where a text was corrected, the corrected one stands; corrected twice, the last. Names
// stay, and whoever had signed is told apart by when it was made.
func TestACorrectedTextStands(t *testing.T) {
	r := recordOf(t, licensed, owner, corrects(3, NameField, "Ignaz"), corrects(3, LicenceField, "L-7"),
		corrects(3, NameField, "Ignace"), corrects(4, PositionField, "owner"))
	assert.Equal(t, "Ignace", r.Find(programme.IDTechnician).Signed().Name)
	assert.Equal(t, "L-7", r.Find(programme.IDTechnician).Signed().Licence)
	assert.Equal(t, "owner", r.Customer().Position)
	assert.False(t, r.Lapsed())
	require.Len(t, r.Corrections(), 4)
	assert.Equal(t, "Ignaz", r.Corrections()[2].Earlier)
	assert.Equal(t, programme.IDTechnician, r.Corrections()[0].Step)
	r.Corrections()[0].Text = "x"
	assert.Equal(t, "Ignaz", r.Corrections()[0].Text, "whoever reads it cannot change it")

	r = recordOf(t, Answer{Step: checkStep, Result: Defect, Remark: "lose"}, Note{Step: checkStep, Text: "a"},
		Note{Step: checkStep, Text: "b"}, corrects(3, RemarkField, "loose"), corrects(5, NoteField, "c"))
	assert.Equal(t, "loose", r.Find(checkStep).Remark())
	assert.Equal(t, Defect, r.Find(checkStep).Result())
	assert.Equal(t, []string{"a", "c"}, r.Find(checkStep).Notes())
	assert.False(t, r.Corrections()[0].After)

	r = recordOf(t, caption, photo(2, nil), corrects(3, CaptionField, "door"))
	assert.Equal(t, "door", r.Photographs()[0].Caption)
	assert.Empty(t, r.Photographs()[1].Caption)
	r = recordOf(t, promised, corrects(3, WhoField, "Ignace"))
	assert.Equal(t, "Ignace", r.Undertakings()[0].Who)
}

// What was said of the voltmeter is corrected also where readings say it, of those that
// it took.
func TestACorrectedInstrument(t *testing.T) {
	of := func(step string, name string, u float64) Reading {
		return Reading{Step: step, Quantity: VoltageReading, Value: 13, Unit: "V", AsTyped: "13 V", Instrument: name,
			Uncertainty: u}
	}
	level := decibels(98)
	level.Instrument, level.Uncertainty = "metre", 0.1
	r := recordOf(t, meter, of(programme.IDMainsPresent, "metre", 0.1), of("supply/standby-1", "other", 0.1),
		of("supply/standby-2", "metre", 0.2), level, corrects(3, InstrumentField, "meter"),
		corrects(3, UncertaintyField, "20 mV"), corrects(3, CalibratedField, "2027-01-31"))
	assert.Equal(t, Instrument{Step: programme.IDVoltmeter, Name: "meter", Uncertainty: 0.02, Calibrated: "2027-01-31"},
		*r.Voltmeter())
	reading := func(step string) Reading { return r.Find(step).Readings()[0].Reading }
	assert.Equal(t, of(programme.IDMainsPresent, "meter", 0.02), reading(programme.IDMainsPresent))
	assert.Equal(t, of("supply/standby-1", "other", 0.1), reading("supply/standby-1"))
	assert.Equal(t, of("supply/standby-2", "metre", 0.2), reading("supply/standby-2"))
	assert.Equal(t, level, reading("outputs/Sounder"))
	assert.Equal(t, "0.1 V", r.Corrections()[1].Earlier)
	r = recordOf(t, meter, corrects(3, UncertaintyField, ""))
	assert.Zero(t, r.Voltmeter().Uncertainty, "not stated")
	assert.Equal(t, "", r.Correctable()[2].Text)
}

// They are listed in the order of their entries.
func TestWhatCanBeCorrectedIsListed(t *testing.T) {
	r := recordOf(t, technician, Note{Step: checkStep, Text: "a"}, promised)
	assert.Equal(t, []Typed{{4, NoteField, checkStep, "a"}, {5, ActionField, "", "knew contact"},
		{5, DayField, "", "2026-12-01"}, {5, WhoField, "", "Ignaz"}}, r.Correctable(), "the name has lapsed")
	assert.Equal(t, "field/licence", LicenceField.Code())
	assert.Empty(t, recordOf(t).Correctable())
	later := recordOf(t, Note{Step: "walk/1.1", Text: "a"}, Note{Step: checkStep, Text: "b"}).Correctable()
	assert.Equal(t, []Typed{{3, NoteField, "walk/1.1", "a"}, {4, NoteField, checkStep, "b"}}, later)
}
