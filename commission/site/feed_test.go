package site

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
)

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

// fitted is a site with one zone of these detectors.
func fitted(detectors ...Detector) *Site {
	s := &Site{Zones: []Zone{{Number: 7, Detectors: detectors}}}
	s.index()
	return s
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
		assert.Equal(t, tc.want, fitted(tc.detectors...).Farthest(), "%d", len(tc.detectors))
	}
}

// A cable that goes on loses in each section what all behind it draw.
func TestFarthestAlongACable(t *testing.T) {
	after := func(p Point, d Detector) Detector { d.Power.After = p; return d }
	alone, first := powered(t, 15, 20, "0.22 mm2"), powered(t, 15, 15, "0.22 mm2")
	next, last := after("7.2", powered(t, 15, 2, "0.22 mm2")), after("7.3", powered(t, 15, 2, "0.22 mm2"))
	s := fitted(alone, first, next, last)
	assert.Equal(t, []Point{"7.2", "7.3", "7.4"}, s.Feed("7.4"))
	assert.InDeltaMapValues(t, map[Point]float64{"7.1": 0.015, "7.2": 0.045, "7.3": 0.03, "7.4": 0.015},
		s.CurrentsBeyond(), 1e-9)
	assert.Equal(t, Point("7.4"), s.Farthest(), "its own piece is the shortest")
	unknown := after("7.1", powered(t, 15, 500, ""))
	assert.Equal(t, Point("7.1"), fitted(first, unknown).Farthest(), "a section that is not known tells nothing")
	assert.Equal(t, Point("7.3"), fitted(powered(t, 15, 40, ""), powered(t, 15, 45, ""),
		after("7.1", powered(t, 15, 10, ""))).Farthest(), "the whole cable counts")
}

// A cable that leads nowhere, or round in a ring, is followed as far as it goes: such files
// are refused when they are read.
func TestFeedOfACableThatLeadsNowhere(t *testing.T) {
	s := fitted(powered(t, 15, 1, ""), powered(t, 15, 1, ""), Detector{})
	first, second := s.Zones[0].Detectors[0].Power, s.Zones[0].Detectors[1].Power
	second.After = "7.1"
	assert.Equal(t, []Point{"7.1", "7.2"}, s.Feed("7.2"))
	assert.Empty(t, s.Feed("7.3"))
	assert.Empty(t, s.Feed("9.9"))
	first.After = "7.3"
	assert.Equal(t, []Point{"7.1", "7.2"}, s.Feed("7.2"))
	first.After = "7.2"
	assert.Equal(t, []Point{"7.1", "7.2"}, s.Feed("7.2"))
}
