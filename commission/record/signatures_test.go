package record

import (
	"bytes"
	"image"
	"image/png"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

var (
	technician = Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "x"}
	customer   = Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "y"}
)

// Whoever signed stands under what they saw: all that is taken afterwards lets the names
// lapse, remarks and what is asked for signing do not.
func TestWhatLetsNamesLapse(t *testing.T) {
	for name, tc := range map[string]struct {
		after  Fact
		lapses bool
	}{
		"an answer":          {answer(checkStep, Done), true},
		"a trial":            {Cue{Step: "walk/1.1", Half: Operate}, true},
		"a reading":          {volts(programme.IDMainsPresent, 13.7, "13.7 V"), true},
		"an instrument":      {Instrument{Step: programme.IDVoltmeter, Name: "m"}, true},
		"a step opened":      {Reopened{checkStep}, true},
		"a remark":           {Note{Step: checkStep, Text: "a"}, false},
		"an answer to come":  {PartAnswer{checkStep, "defect", "loose", false}, false},
		"signed again":       {technician, false},
		"a signature opened": {Reopened{programme.IDCustomer}, false},
		"a stage entered":    {Entered{Stage: programme.StageWalkTest}, false},
		"an output":          {Energised{Output: "Sounder", By: "controller"}, false},
	} {
		r := recordOf(t, technician, customer)
		assert.True(t, r.Find(programme.IDTechnician).Concluded())
		assert.True(t, r.Find(programme.IDCustomer).Concluded())
		require.NoError(t, take(t, r, 1, time.Minute, tc.after), name)
		assert.Equal(t, tc.lapses, r.Lapsed(), name)
		assert.Equal(t, tc.lapses, r.Customer() == nil, name)
		assert.Equal(t, tc.lapses, r.Find(programme.IDTechnician).Signed() == nil, name)
		assert.Equal(t, !tc.lapses, r.Find(programme.IDTechnician).Concluded(), name)
	}
}

// That a name lapsed stays told, also when it was only one and more follows.
func TestALapseStaysTold(t *testing.T) {
	assert.False(t, recordOf(t, answer(checkStep, Done)).Lapsed(), "nobody had signed")
	r := recordOf(t, technician, answer(checkStep, Done), answer(checkStep, Defect))
	assert.True(t, r.Lapsed())
	r = recordOf(t, technician, answer(checkStep, Done), technician, customer)
	assert.True(t, r.Lapsed())
	assert.Equal(t, "y", r.Customer().Name)
}

// What was given on the way to a signature lapses with it.
func TestGivenAnswersOfASignatureLapse(t *testing.T) {
	r := recordOf(t, PartAnswer{programme.IDCustomer, "name", "y", false}, answer(checkStep, Done), Resumed{})
	_, there := r.AnsweredBefore(r.Find(programme.IDCustomer), "name")
	assert.False(t, there)
}

// A programme need not have signatures, as far as folding it goes.
func TestAProgrammeWithoutSignatures(t *testing.T) {
	r, err := told(t, openedHonestly(t, without(programme.StageSignOff)), answer(checkStep, Done))
	require.NoError(t, err)
	assert.Nil(t, r.Customer())
	assert.False(t, r.Lapsed())
	assert.True(t, r.Find(checkStep).Concluded())
}

func TestDrawnSignatures(t *testing.T) {
	var drawn bytes.Buffer
	require.NoError(t, png.Encode(&drawn, image.NewGray(image.Rect(0, 0, 40, 10))))
	signed := customer
	signed.Drawing = drawn.Bytes()
	r := recordOf(t, signed)
	r.Customer()
	copied := r.Find(programme.IDCustomer).Signed()
	copied.Drawing[0] = 0
	assert.Equal(t, drawn.Bytes(), r.Find(programme.IDCustomer).Signed().Drawing)
	signed.Drawing = []byte("no picture")
	refuses(t, "entry 3 (signed): ", signed)
}
