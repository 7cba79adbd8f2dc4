package site

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/kit/strictyaml"
)

// Extend is the site's file with more zones behind those that it has, and more detectors
// on some of those, by the zone's number. All else stays as it was written, comments and
// order, too. An error wraps strictyaml.ErrNoRoom.
func (s *Site) Extend(zones []Zone, detectors map[int][]Detector) ([]byte, error) {
	data := s.Raw
	add := func(text []string, path ...string) (err error) {
		data, err = strictyaml.Append(data, path, text...)
		return err
	}
	for _, number := range slices.Sorted(maps.Keys(detectors)) {
		at := slices.IndexFunc(s.Zones, func(z Zone) bool { return z.Number == number })
		if at < 0 {
			return nil, strictyaml.ErrNoRoom
		}
		for i := range detectors[number] {
			var w writer
			w.detector(&detectors[number][i], s.Zones[at].Kind)
			if err := add(w.item(len("      - ")), "zones", strconv.Itoa(at), "detectors"); err != nil {
				return nil, err
			}
		}
	}
	for i := range zones {
		var w writer
		w.zone(&zones[i])
		if err := add(w.item(len("  - ")), "zones"); err != nil {
			return nil, err
		}
	}
	return data, nil
}

// item is what was written, without the indent and dash that it begins with.
func (w *writer) item(indent int) []string {
	var lines []string
	for line := range strings.Lines(w.b.String()) {
		lines = append(lines, strings.TrimSuffix(line[indent:], "\n"))
	}
	return lines
}
