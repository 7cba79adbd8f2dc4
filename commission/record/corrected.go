package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

const kindCorrected = "corrected"

// Corrected puts another text in the place of one that was typed. The earlier one stays
// in its entry, and both are shown.
type Corrected struct {
	Entry  int    `json:"entry"` // number of the entry that it corrects
	Field  Field  `json:"field"`
	Text   string `json:"text"`
	Reason string `json:"reason"`
	By     string `json:"by"` // a name, as given
	AfterRest
}

// Kind names the entry.
func (Corrected) Kind() string { return kindCorrected }

// Field names a text that was typed, as the keys of entries do.
type Field string

// The texts that can be corrected. What was measured, answered, drawn or accepted is none.
const (
	NameField        Field = "name"
	LicenceField     Field = "licence"
	CalledField      Field = "called"
	PositionField    Field = "position"
	RemarkField      Field = "remark"
	NoteField        Field = "text"
	InstrumentField  Field = "instrument"
	CalibratedField  Field = "calibrated"
	UncertaintyField Field = "uncertainty_volt"
	CaptionField     Field = "caption"
	ActionField      Field = "action"
	DayField         Field = "by"
	WhoField         Field = "who"
	ValueField       Field = "value"
)

// Code names the field.
func (f Field) Code() string { return "field/" + string(f) }

// Typed is a text that was typed and can be corrected, as it stands now.
type Typed struct {
	Entry int // that it stands in
	Field Field
	Step  string // "" for a photograph or an undertaking
	Text  string
}

// Correction is a correction, with what stood there before.
type Correction struct {
	Corrected
	Step    string
	Earlier string
	At      time.Time
	// After tells that somebody had signed before it was made: they have not seen it.
	After bool
}

// Corrections are those of the visit, in their order.
func (r *Record) Corrections() []Correction { return slices.Clone(r.corrections) }

// place is a text that can be corrected, and how a new one is put there.
type place struct {
	Typed
	check func(text string) error
	put   func(text string)
}

// Correctable are the texts that can be corrected, in the order of their entries. What has
// been replaced by a later entry is not among them.
func (r *Record) Correctable() []Typed {
	var all []Typed
	for _, p := range r.places() {
		all = append(all, p.Typed)
	}
	return all
}

func (r *Record) places() []place {
	var all []place
	for _, o := range r.outcomes {
		all = append(all, r.placesOf(o)...)
	}
	for i := range r.photographs {
		all = append(all, placeAt(r.photographs[i].Entry, CaptionField, "", &r.photographs[i].Caption, CheckCaption))
	}
	for i := range r.undertakings {
		u := &r.undertakings[i]
		action := placeAt(u.entry, ActionField, "", (*string)(&u.Action), free)
		day, who := placeAt(u.entry, DayField, "", &u.By, dayOrNone), placeAt(u.entry, WhoField, "", &u.Who, free)
		all = append(all, action, day, who)
	}
	slices.SortStableFunc(all, func(a, b place) int { return cmp.Compare(a.Entry, b.Entry) })
	return all
}

// placesOf are the texts of a step. A name that nobody gave cannot be corrected into one,
// and a reason that had to be given not into none.
func (r *Record) placesOf(o *Outcome) []place {
	var all []place
	id := o.step.ID
	if s := o.signed; s != nil {
		if s.Name != "" {
			all = append(all, placeAt(o.signedEntry, NameField, id, &s.Name, needed))
		}
		if s.Role == programme.Technician {
			all = append(all, placeAt(o.signedEntry, LicenceField, id, &s.Licence, free))
		} else {
			check := free
			if s.Name == "" { // it is why nobody signed, or what they said
				check = needed
			}
			all = append(all, placeAt(o.signedEntry, PositionField, id, &s.Position, check))
			if s.Refused {
				all = append(all, placeAt(o.signedEntry, CalledField, id, &s.Called, free))
			}
		}
	}
	if a := o.answer; a != nil && a.Value != "" {
		all = append(all, placeAt(o.answerEntry, ValueField, id, &a.Value, o.step.Value.Check))
	}
	if a := o.answer; a != nil && o.answerEntry > 0 {
		all = append(all, placeAt(o.answerEntry, RemarkField, id, &a.Remark, needed))
	}
	for i := range o.notes {
		all = append(all, placeAt(o.noteEntries[i], NoteField, id, &o.notes[i], needed))
	}
	if o.instrument != nil {
		all = append(all, r.placesOfInstrument(o)...)
	}
	return all
}

func (r *Record) placesOfInstrument(o *Outcome) []place {
	m, id := o.instrument, o.step.ID
	name := placeAt(o.instrumentEntry, InstrumentField, id, &m.Name, needed)
	name.put = func(text string) {
		r.measuredWith(*m, func(f *Reading) { f.Instrument = text })
		m.Name = text
	}
	uncertainty := place{
		Typed: Typed{o.instrumentEntry, UncertaintyField, id, voltText(m.Uncertainty)}, check: voltsOrNone,
		put: func(text string) {
			q, _ := checks.Voltage.Parse(text) // nothing stands for not stated
			r.measuredWith(*m, func(f *Reading) { f.Uncertainty = q.SI })
			m.Uncertainty = q.SI
		}}
	return []place{name, placeAt(o.instrumentEntry, CalibratedField, id, &m.Calibrated, dayOrNone), uncertainty}
}

// measuredWith changes what readings that an instrument took say of it.
func (r *Record) measuredWith(m Instrument, change func(*Reading)) {
	for _, o := range r.outcomes {
		for i := range o.readings {
			f := &o.readings[i].Reading
			if f.Quantity == VoltageReading && f.Instrument == m.Name && f.Uncertainty == m.Uncertainty {
				change(f)
			}
		}
	}
}

func voltText(v float64) string {
	if v == 0 {
		return ""
	}
	return checks.FormatNumber(v) + " V"
}

func placeAt(entry int, f Field, step string, to *string, check func(string) error) place {
	return place{Typed{entry, f, step, *to}, check, func(text string) { *to = text }}
}

// What a corrected text may be.

func free(text string) error { return oneline.Check(text) }

func needed(text string) error {
	if strings.TrimSpace(text) == "" {
		return errors.New("it cannot be left out")
	}
	return free(text)
}

func dayOrNone(text string) error {
	if text != "" && !isDay(text) {
		return fmt.Errorf("%q is no day, such as 2026-11-24", text)
	}
	return nil
}

func voltsOrNone(text string) error {
	if text == "" {
		return nil
	}
	q, err := checks.Voltage.Parse(text)
	if err != nil || q.SI < 0 {
		return fmt.Errorf("%q is no uncertainty of a voltage, such as 20 mV", text)
	}
	return nil
}

// MayCorrect tells why a correction cannot be made, nil if it can.
func (r *Record) MayCorrect(c Corrected) error {
	_, err := r.placeFor(c)
	return err
}

func (r *Record) placeFor(c Corrected) (place, error) {
	places := r.places()
	i := slices.IndexFunc(places, func(p place) bool { return p.Entry == c.Entry && p.Field == c.Field })
	switch {
	case i < 0:
		return place{}, fmt.Errorf("entry %d has no %q that can be corrected", c.Entry, c.Field)
	case places[i].Text == c.Text:
		return place{}, errors.New("the text is the same as before")
	case strings.TrimSpace(c.Reason) == "" || strings.TrimSpace(c.By) == "":
		return place{}, errors.New("a correction needs a reason, and the name of who makes it")
	}
	if r.dayMisfits(c.Field, c.Text) {
		return place{}, fmt.Errorf("the day has to be from %s on where it is undertaken, until %s where it is calibrated",
			r.FirstDay(), r.FarthestDay())
	}
	return places[i], cmp.Or(places[i].check(c.Text), free(c.Reason), free(c.By))
}

func (r *Record) corrected(e journal.Entry, c Corrected) error {
	p, err := r.placeFor(c)
	if err != nil {
		return refuse(LawCorrected, err)
	}
	p.put(c.Text)
	after := false
	for _, o := range r.outcomes {
		after = after || o.signed != nil
	}
	r.corrections = append(r.corrections, Correction{c, p.Step, p.Text, e.At, after})
	return nil
}
