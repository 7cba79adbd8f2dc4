package record

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// The visit leaves out what came from outside and is refused: no law is broken by it.
func TestWhatIsRefusedBreaksNoLaw(t *testing.T) {
	r := recordOf(t)
	require.NoError(t, take(t, r, 2, time.Hour, Resumed{}))
	require.ErrorIs(t, take(t, r, 2, time.Hour, signal.Sample{Volt: 12}), ErrNoSense)
	assert.Empty(t, r.Breaches(), "it was told before any word of how signals are received")
}

// What is refused says by which law, as far as the book has one.
func TestRefusalsNameTheirLaw(t *testing.T) {
	for name, tc := range map[string]struct {
		law  Law
		fact Fact
	}{
		"a trial struck that was none":    {LawStruck, Struck{Step: "walk/1.1", Trial: 1, Reason: "x"}},
		"something undertaken of nothing": {LawUndertaking, Undertaken{Action: "x"}},
		"a correction of nothing":         {LawCorrected, Corrected{Entry: 1, Field: NoteField, Text: "x", Reason: "x", By: "Bea"}},
		"a photograph that is none":       {LawPhotograph, Photographed{Name: "photograph-1.jpg"}},
		"volts at a detector": {LawFitsStep, Reading{Step: "walk/1.1", Quantity: VoltageReading, Value: 12, Unit: "V",
			AsTyped: "12 V"}},
		"volts that were not typed": {LawValueAsTyped, Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 13, Unit: "V", AsTyped: "12 V"}},
		"a level that was not typed": {LawValueAsTyped, Reading{Step: sounder, Quantity: LevelReading, Value: 126,
			Unit: "dB", AsTyped: "96 dB at 1 m", Distance: 1}},
	} {
		refusedBy(t, tc.law, tc.fact, name)
	}
	inAnotherOrder := func(p []programme.Step) []programme.Step {
		i := slices.IndexFunc(p, func(s programme.Step) bool { return s.Stage == programme.StageSupply })
		p[i], p[i+1] = p[i+1], p[i]
		return p
	}
	_, err := told(t, openedHonestly(t, inAnotherOrder))
	var refused *Refusal
	require.True(t, errors.As(err, &refused), err)
	assert.Equal(t, LawProgramme, refused.Law, "a programme in another order")
}
