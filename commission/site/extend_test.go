package site

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/kit/strictyaml"
)

// Zones and detectors that are added are read back as they were meant, and no line that
// was there is another one.
func TestExtend(t *testing.T) {
	raw, err := os.ReadFile("../../cmd/loopwitness/demo/site.yaml")
	require.NoError(t, err)
	s, err := Read("site.yaml", raw)
	require.NoError(t, err)
	current, err := checks.Current.Parse("15 mA")
	require.NoError(t, err)
	resistor, err := checks.Resistance.Parse("4k7")
	require.NoError(t, err)
	zone := Zone{Number: 40, Name: "Glaze: store #1", Kind: kindDoor, Wiring: OneResistor, EndOfLine: resistor,
		Address: "z40", Detectors: []Detector{{Name: "- no list", Location: "“north”", Kind: kindDoor},
			{Name: "[7]", Kind: kindMotion, Power: &Power{Current: current}}}}
	first, last := s.Zones[0], s.Zones[len(s.Zones)-1]
	further := map[int][]Detector{first.Number: {{Name: "yes", Kind: first.Kind}, {Name: "1.0", Kind: first.Kind}},
		last.Number: {{Name: "Hatch", Location: "cellar", Kind: last.Kind}}}
	data, err := s.Extend([]Zone{zone, {Number: 41, Name: "n", Kind: kindDoor, Wiring: NormallyClosed, Address: "z41",
		Detectors: []Detector{{Name: "d", Kind: kindDoor}}}}, further)
	require.NoError(t, err)

	got, err := Read("site.yaml", data)
	require.NoError(t, err, string(data))
	require.Len(t, got.Zones, len(s.Zones)+2)
	assert.Equal(t, zone, got.Zones[len(s.Zones)])
	for i, was := range s.Zones {
		was.Detectors = append(was.Detectors[:len(was.Detectors):len(was.Detectors)], further[was.Number]...)
		assert.Equal(t, was, got.Zones[i])
	}
	assert.Equal(t, s.Supply, got.Supply)
	assert.Equal(t, s.Outputs, got.Outputs)

	now := strings.Split(string(data), "\n")
	for _, line := range strings.Split(string(raw), "\n") { // brackets may hold more than before
		for len(now) > 0 && strings.TrimRight(now[0], "]")+"]" != strings.TrimRight(line, "]")+"]" &&
			!strings.HasPrefix(now[0], strings.TrimRight(line, "]}")) {
			now = now[1:]
		}
		require.NotEmpty(t, now, line)
		now = now[1:]
	}

	_, err = s.Extend(nil, map[int][]Detector{7777: {{Name: "d"}}})
	assert.ErrorIs(t, err, strictyaml.ErrNoRoom, "no such zone")
	one, err := Read("site.yaml", []byte(strings.Replace(oneLine, "[a]", "a", 1)))
	require.NoError(t, err)
	_, err = one.Extend(nil, map[int][]Detector{1: {{Name: "d"}}})
	assert.ErrorIs(t, err, strictyaml.ErrNoRoom, "a list without brackets has no room for another item")
}

const oneLine = "{reference: K, premises: {name: a, address: b}, installer: {company: c}, controller: {description: d}, " +
	"supply: {battery: {chemistry: none}}, zones: [{number: 1, name: n, kind: door, wiring: normally closed, " +
	"address: z1, detectors: [a]}]}\n"

// A file in one line stays one.
func TestExtendInOneLine(t *testing.T) {
	s, err := Read("site.yaml", []byte(oneLine))
	require.NoError(t, err)
	data, err := s.Extend([]Zone{{Number: 2, Name: "m", Kind: kindDoor, Wiring: NormallyClosed, Address: "z2",
		Detectors: []Detector{{Name: "d"}}}}, map[int][]Detector{1: {{Name: "b"}}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(oneLine, "[a]}]", `[a, {name: "b"}]}, {number: 2, name: "m", kind: "door", `+
		`wiring: "normally closed", address: "z2", detectors: [{name: "d"}]}]`, 1), string(data))
}
