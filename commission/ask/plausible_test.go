package ask

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
)

// The bounds belong to what can be; beyond them it is asked. They are *common practice,
// no source*.
func TestWhatIsDoubted(t *testing.T) {
	volts := Question{Takes: Quantity{In: checks.Voltage, Instead: NotMeasured}, Plausible: &PlausibleSupply}
	drawn := Question{Takes: Quantity{In: checks.Current}, Plausible: &PlausibleDrawn}
	loop := Question{Takes: Quantity{In: checks.Resistance, Instead: OpenLoop}, Plausible: &PlausibleLoop}
	level := Question{Takes: SoundLevel{}, Optional: true}
	for _, tc := range []struct {
		q    Question
		text string
		why  Doubt // "" for none
	}{
		{volts, "0 V", ""}, {volts, "3 V", ""}, {volts, "1.29 V", SupplyDoubt},
		{volts, "16 V", ""}, {volts, "16.01 V", SupplyDoubt}, {volts, "121 V", SupplyDoubt},
		{volts, "-1 mV", SupplyDoubt}, {volts, "none", ""}, {volts, "", ""},
		{drawn, "1 mA", ""}, {drawn, "5 A", ""}, {drawn, "0.9 mA", DrawnDoubt}, {drawn, "5.1 A", DrawnDoubt},
		{loop, "0 ohm", ""}, {loop, "10M", ""}, {loop, "11M", LoopDoubt}, {loop, "open", ""},
		{level, "40 dB at 0.1 m", ""}, {level, "130 dB at 30 m", ""}, {level, "39 dB at 3 m", LevelDoubt},
		{level, "131 dB at 3 m", LevelDoubt}, {level, "96 dB at 9 cm", DistanceDoubt}, {level, "96 dB at 31 m",
			DistanceDoubt},
		{level, "131 dB at 31 m", LevelDoubt}, {level, "", ""},
		{Question{Takes: Quantity{In: checks.Voltage}}, "121 V", ""}, {Question{Takes: Line{}}, "121 V", ""},
	} {
		doubt := tc.q.Doubted(Answer{Text: tc.text})
		if tc.why == "" {
			assert.Nil(t, doubt, tc.text)
			continue
		}
		if assert.NotNil(t, doubt, tc.text) {
			assert.Equal(t, tc.why, doubt.(Really).Why, tc.text)
		}
	}
	assert.Equal(t, Really{Text: "121 V", Why: SupplyDoubt, Lower: "3 V", Upper: "16 V"},
		volts.Doubted(Answer{Text: "121 V"}))
	cells := Plausible{Lower: 3, Upper: 14.7, Why: CellsDoubt}
	volts.Plausible = &cells
	assert.Equal(t, CellsDoubt, volts.Doubted(Answer{Text: "14.8 V"}).(Really).Why)
	assert.Equal(t, SupplyDoubt, volts.Doubted(Answer{Text: "1.29 V"}).(Really).Why, "too little for any supply")
	assert.Equal(t, Really{Text: "96 dB at 31 m", Why: DistanceDoubt, Lower: "0.1 m", Upper: "30 m"},
		level.Doubted(Answer{Text: "96 dB at 31 m"}))
}

// saying answers with one text after the other.
type saying struct {
	Operator
	says  []string
	asked []string
}

func (s *saying) Ask(_ context.Context, q Question) (Answer, error) {
	s.asked = append(s.asked, q.ID)
	if len(s.says) == 0 {
		return Answer{}, ErrPaused
	}
	text := s.says[0]
	s.says = s.says[1:]
	return q.Accept(text)
}

// No asks again, yes confirms; a pause ends both.
func TestSurely(t *testing.T) {
	q := Question{ID: "v", Takes: Quantity{In: checks.Voltage, Unit: "V"}, Plausible: &PlausibleSupply, Redo: LoopMatter}
	for _, tc := range []struct {
		says, asked []string
		want        Answer
		err         error
	}{
		{[]string{"12.1"}, []string{"v"}, Answer{Text: "12.1 V", Completed: true}, nil},
		{[]string{"121", "y"}, []string{"v", "v/really"}, Answer{Text: "121 V", Completed: true, Confirmed: true}, nil},
		{[]string{"121 V", "n", "122 V", "no", "12 V"}, []string{"v", "v/really", "v", "v/really", "v"},
			Answer{Text: "12 V"}, nil},
		{[]string{"redo"}, []string{"v"}, Answer{Redo: true}, nil},
		{[]string{"121 V"}, []string{"v", "v/really"}, Answer{}, ErrPaused},
		{nil, []string{"v"}, Answer{}, ErrPaused},
	} {
		o := &saying{says: tc.says}
		got, err := Surely(t.Context(), o, q)
		require.True(t, errors.Is(err, tc.err), err)
		assert.Equal(t, tc.want, got)
		assert.Equal(t, tc.asked, o.asked)
	}
}
