package site

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
)

func TestAlarmOutputs(t *testing.T) {
	s := &Site{Outputs: []Output{{Name: "Chime", Kind: Chime}, {Name: "Horn", Kind: Sounder}, {Name: "Flash",
		Kind: Strobe}}}
	assert.Equal(t, []*Output{&s.Outputs[1], &s.Outputs[2]}, s.AlarmOutputs())
	assert.Empty(t, (&Site{Outputs: s.Outputs[:1]}).AlarmOutputs())
}

// powered is a detector with a cable; what is not known of it is left out.
func powered(t *testing.T, milli, metre float64, conductor string) Detector {
	t.Helper()
	p := &Power{Current: checks.Quantity{SI: milli / 1000}, CableLength: checks.Quantity{SI: metre}}
	if conductor != "" {
		c, err := checks.ParseConductor(conductor)
		assert.NoError(t, err)
		p.Conductor = c
	}
	return Detector{Power: p}
}

// The farthest is the one whose cable loses most voltage, as far as that is known.
func TestFarthest(t *testing.T) {
	short, thin, thick := powered(t, 15, 10, "0.22 mm2"), powered(t, 15, 20, "0.22 mm2"), powered(t, 15, 30, "1.5 mm2")
	thirsty := powered(t, 90, 15, "0.22 mm2")
	unknown, unknownLong := powered(t, 15, 40, ""), powered(t, 15, 50, "")
	for _, tc := range []struct {
		detectors []Detector
		want      Point
	}{
		{nil, ""}, {[]Detector{{}}, ""},
		{[]Detector{{}, short}, "7.2"},
		{[]Detector{short, thin, thick}, "7.2"},
		{[]Detector{thin, thirsty}, "7.2"},
		{[]Detector{thin, thin}, "7.1"},
		{[]Detector{unknown, unknownLong, unknown}, "7.2"},
		{[]Detector{unknownLong, short}, "7.2"}, // what is known goes before
		{[]Detector{short, unknownLong}, "7.1"},
		{[]Detector{powered(t, 15, 0, ""), powered(t, 15, 0, "")}, "7.1"},
		{[]Detector{short, thin, thirsty, {}, short}, "7.3"},
	} {
		s := &Site{Zones: []Zone{{Number: 7, Detectors: tc.detectors}}}
		assert.Equal(t, tc.want, s.Farthest(), "%d", len(tc.detectors))
	}
}
