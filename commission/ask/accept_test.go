package ask

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/photograph"
)

// What each kind of question takes, and why it does not take the rest.
func TestAccept(t *testing.T) {
	volts := Quantity{In: checks.Voltage, Instead: NotMeasured}
	minute := time.Minute
	choice := OneOf{Options: []Option{{"leave", LeaveChoice}, {"done", DoneChoice}}}
	for _, tc := range []struct {
		takes    Takes
		optional bool
		text     string
		want     string
		says     string // of the refusal
	}{
		{Line{}, false, "  a line  ", "a line", ""},
		{Line{}, false, "  ", "", "an answer is needed"},
		{Line{}, true, "  ", "", ""},
		{Line{}, false, strings.Repeat("a", oneline.Longest), strings.Repeat("a", oneline.Longest), ""},
		{Line{}, false, strings.Repeat("a", oneline.Longest+1), "", "longer than"},
		{volts, false, "13.62 V", "13.62 V", ""},
		{volts, false, "none", "none", ""},
		{volts, false, "open", "", "is not a voltage"},
		{Quantity{In: checks.Voltage}, false, "none", "", "is not a voltage"},
		{volts, false, "-3 V", "-3 V", ""},
		{Quantity{In: checks.Voltage, NotNegative: true}, true, "-3 V", "", "negative"},
		{Quantity{In: checks.Voltage, NotNegative: true}, true, "0 V", "0 V", ""},
		{Quantity{In: checks.Resistance, Instead: OpenLoop}, true, "open", "open", ""},
		{SoundLevel{}, true, "96 dB at 3 m over 55 dB class 2", "96 dB at 3 m over 55 dB class 2", ""},
		{SoundLevel{}, true, "96 dB", "", "level and distance"},
		{SoundLevel{}, true, "96 at 3", "", "unit is missing"},
		{Conductor{}, true, "22 AWG", "22 AWG", ""},
		{Conductor{}, true, "thick", "", "thick"},
		{Date{}, true, "2027-03-01", "2027-03-01", ""},
		{Date{}, true, "1.3.2027", "", "year-month-day"},
		{Date{}, true, "2027-02-30", "", "year-month-day"},
		{Names{Of: []string{"1.1", "1.2"}}, false, "1.2", "1.2", ""},
		{Names{Of: []string{"1.1", "1.2"}}, false, "1.3", "", `no "1.3"; take one of: 1.1, 1.2`},
		{Names{Of: []string{"1.1", "1.2"}}, false, "1.1, 1.2", "", "take one of"},
		{Names{Of: []string{"1", "2"}, Several: true}, true, "1, 2", "1, 2", ""},
		{Names{Of: []string{"1", "2"}, Several: true}, true, "1, 3", "", `no "3"`},
		{YesNo{}, false, "y", "yes", ""},
		{YesNo{}, false, "n", "no", ""},
		{YesNo{}, false, "yes", "yes", ""},
		{YesNo{}, false, "", "", "yes or no"},
		{YesNo{}, false, "Yes", "yes", ""},
		{YesNo{}, false, "Y", "yes", ""},
		{YesNo{}, false, "N", "no", ""},
		{YesNo{}, false, "NO", "no", ""},
		{YesNo{}, false, "ye", "", "yes or no"},
		{YesNo{}, true, "", "", ""},
		{YesNo{Danger: true}, false, "y", "", "whole word"},
		{YesNo{Danger: true}, false, "YES", "", "whole word"},
		{YesNo{Danger: true}, false, "n", "", "whole word"},
		{YesNo{Danger: true}, false, "no", "no", ""},
		{YesNo{}, false, "redo", "", "yes or no"},
		{Quantity{In: checks.Voltage}, false, "13.7", "", "unit is missing"},
		{Quantity{In: checks.Current}, false, "0.34", "", "unit is missing"},
		{Quantity{In: checks.Time}, false, "90", "", "unit is missing"},
		{Quantity{In: checks.Time, Most: &minute}, true, "60 s", "60 s", ""},
		{Quantity{In: checks.Time, Most: &minute}, true, "61 s", "", "on for 1 min only"},
		{Quantity{In: checks.Voltage, Unit: "V"}, false, ",7", "", "decimal sign"},
		{Quantity{In: checks.Voltage, Unit: "V"}, false, "13.7 A", "", "no unit"},
		{Quantity{In: checks.Voltage, Unit: "V", NotNegative: true}, false, "-1", "", "negative"},
		{Quantity{In: checks.Voltage, Unit: "V"}, false, "50 mV", "50 mV", ""},
		{Quantity{In: checks.Resistance, Unit: "ohm"}, false, "4k7", "4k7", ""},
		{YesNo{Danger: true}, false, "yes", "yes", ""},
		{choice, false, "done", "done", ""},
		{choice, false, "", "", "one of: leave, done"},
		{choice, false, "Done", "", "one of: leave, done"},
		{Signature{}, true, "", "", ""},
		{Signature{}, true, "X", "", "a picture"},
	} {
		got, err := Question{Takes: tc.takes, Optional: tc.optional}.Accept(tc.text)
		if tc.says != "" {
			assert.ErrorContains(t, err, tc.says, "%T %q", tc.takes, tc.text)
			assert.Zero(t, got)
			continue
		}
		assert.NoError(t, err, "%T %q", tc.takes, tc.text)
		assert.Equal(t, Answer{Text: tc.want}, got)
	}
}

// A bare number takes the unit where only one can be meant, and says so.
func TestBareNumbers(t *testing.T) {
	volts, ohms := Quantity{In: checks.Voltage, Unit: "V"}, Quantity{In: checks.Resistance, Unit: "ohm"}
	for _, tc := range []struct {
		takes      Takes
		text, want string
	}{
		{volts, "13.7", "13.7 V"}, {volts, "-.5", "-.5 V"}, {ohms, "4700", "4700 ohm"},
		{SoundLevel{}, "96 at 3 m", "96 dB at 3 m"},
		{SoundLevel{}, "96 at 3 m over 55 class 1", "96 dB at 3 m over 55 dB class 1"},
		{SoundLevel{}, "96.5 dB(A) at 3 m over 55.5", "96.5 dB(A) at 3 m over 55.5 dB"},
	} {
		got, err := Question{Takes: tc.takes}.Accept(tc.text)
		require.NoError(t, err, tc.text)
		assert.Equal(t, Answer{Text: tc.want, Completed: true}, got)
		got, err = Question{Takes: tc.takes}.Accept(tc.want)
		require.NoError(t, err)
		assert.Equal(t, Answer{Text: tc.want}, got)
	}
}

// A decimal comma is a decimal point. What may be read in two ways is refused, never guessed.
func TestDecimalCommas(t *testing.T) {
	volts, ohms := Quantity{In: checks.Voltage, Unit: "V"}, Quantity{In: checks.Resistance}
	for _, tc := range []struct {
		takes            Takes
		text, want, says string
	}{
		{volts, "13,68 V", "13.68 V", ""},
		{volts, "13,7", "13.7 V", ""},
		{volts, "-0,5 V", "-0.5 V", ""},
		{ohms, "1,5 k", "1.5 k", ""},
		{ohms, "1,50k", "1.50k", ""},
		{ohms, "0,125 ohm", "0.125 ohm", ""},
		{ohms, "1234,567 ohm", "1234.567 ohm", ""},
		{ohms, "1,2345 ohm", "1.2345 ohm", ""},
		{Quantity{In: checks.Time}, "1,5 h", "1.5 h", ""},
		{Conductor{}, "0,22 mm2", "0.22 mm2", ""},
		{SoundLevel{}, "96,5 dB(A) at 3,2 m ± 0,1 m over 55,5 dB class 2",
			"96.5 dB(A) at 3.2 m ± 0.1 m over 55.5 dB class 2", ""},
		{CableValues{}, "12,4 ohm >200 Mohm >200 Mohm", "12.4 ohm >200 Mohm >200 Mohm", ""},
		{CableValues{}, "12,4 ohm,200 Mohm, 5,5 Mohm", "12.4 ohm,200 Mohm, 5.5 Mohm", ""},
		{volts, "1,234", "", "1.234 or 1234"},
		{volts, "12,345 V", "", "12.345 or 12345"},
		{volts, "1.234,5 V", "", "more than one decimal sign"},
		{volts, "1,234.5 V", "", "more than one decimal sign"},
		{volts, "1,234,567 V", "", "more than one decimal sign"},
		{volts, "13,", "", ""},
		{volts, "13, 7 V", "", ""},
		{CableValues{}, "12,400 ohm", "", "12.400 or 12400"},
		{Line{}, "1,234 bricks", "1,234 bricks", ""},
	} {
		got, err := Question{Takes: tc.takes}.Accept(tc.text)
		if tc.want == "" {
			assert.ErrorContains(t, err, tc.says, tc.text)
			continue
		}
		require.NoError(t, err, tc.text)
		assert.Equal(t, Answer{Text: tc.want, Completed: tc.want != tc.text}, got, "it is told how it was understood")
	}
}

// A picture answers where a signature is asked for, and nowhere else.
func TestAcceptPicture(t *testing.T) {
	p := image.NewGray(image.Rect(0, 0, 300, 100))
	for i := range p.Pix {
		p.Pix[i] = 255
	}
	for x := range 200 {
		for d := range 3 {
			p.SetGray(50+x, 30+x/5+d, color.Gray{})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	got, err := Question{Takes: Signature{}}.AcceptPicture(b.Bytes())
	require.NoError(t, err)
	assert.NoError(t, photograph.CheckDrawing(got.Drawing))
	assert.Empty(t, got.Text)
	_, err = Question{Takes: Signature{}}.AcceptPicture([]byte("none"))
	assert.ErrorIs(t, err, photograph.ErrRefused)
	_, err = Question{Takes: Line{}}.AcceptPicture(b.Bytes())
	assert.Error(t, err)
}

// A word for the way back is taken whatever the question takes, and only where there is one.
func TestTheWayBack(t *testing.T) {
	for _, takes := range []Takes{Line{}, Quantity{In: checks.Voltage}, YesNo{}, Date{}, Names{Of: []string{"1"}}} {
		answer, err := Question{Takes: takes, WayBack: "back"}.Accept(" back ")
		require.NoError(t, err)
		assert.Equal(t, "back", answer.Text)
		_, err = Question{Takes: takes}.Accept("back")
		if _, line := takes.(Line); !line {
			assert.Error(t, err)
		}
	}
}

// Of a board a point is taken as it is, and nothing else.
func TestPointsOfABoard(t *testing.T) {
	q := Question{
		Takes: Points{Board: Board{Zones: []BoardZone{{Detectors: []BoardDetector{{Point: "1.1"}, {Point: "1.2"}}}}}},
	}
	got, err := q.Accept(" 1.2 ")
	require.NoError(t, err)
	assert.Equal(t, Answer{Text: "1.2"}, got)
	for _, text := range []string{"", "1", "1.3", "1.1 1.2"} {
		_, err := q.Accept(text)
		assert.Error(t, err, text)
	}
}
