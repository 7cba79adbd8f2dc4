package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

var englishContentLabels = map[Label]string{
	DesignLabel:     "Designed by",
	AuthorityLabel:  "To be informed",
	ControlsLabel:   "User's controls",
	InterfacesLabel: "Joined to",
	FittedLabel:     "Fitted",
	CablesLabel:     "Cables reused",
	SiteFileLabel:   "Site file",
	KeptLabel:       "Record kept",
}

var englishContentNotes = map[Note]string{
	WorkNote: "Tested: what was operated, energised or measured, with what came of it. Inspected: what the lists name, " +
		"as the technician answered. Serviced: only what a line or a remark names as mended, renewed or replaced.",
	OwnZoneNote: "A detector is proved by its own zone: the controller reported that zone when it was operated, and at " +
		"rest again after it. Where another answered in its place, that is told.",
}

// englishContentItems are lines of our lists that forms of record ask for.
var englishContentItems = map[programme.ItemCode]string{
	"zone-names": "The controller, and the receiving centre if there is one, show each zone by its name in this record",
	"instruments": "Nothing was measured with an instrument that this record does not name, but with what stands " +
		"beside, its number and calibration",
}

var englishOutputKinds = map[site.OutputKind][2]string{
	site.Sounder: {"sounder", "sounders"}, site.Strobe: {"strobe", "strobes"}, site.Chime: {"chime", "chimes"},
}

// ofContents says what belongs to papers, cables and what is fitted.
func (l English) ofContents(p Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case Label:
		text = englishContentLabels[p]
	case Note:
		text = englishContentNotes[p]
	case Fitted:
		text = l.fitted(p)
	case ZoneCable:
		return l.zoneCable(p), true
	case CablesReused:
		text = l.cablesReused(p)
	case FileHash:
		text = "SHA-256 begins " + p.Begins + "; attached within the record"
	case InPlaceOf:
		if text = "the first of this visit"; p.Revision > 1 {
			text = fmt.Sprintf("in place of rev. %d", p.Revision-1)
		}
	}
	return text, text != ""
}

func (l English) fitted(p Fitted) string {
	var detectors, outputs []string
	all := 0
	for _, d := range p.Detectors {
		all += d.N
		detectors = append(detectors, fmt.Sprintf("%d %s", d.N, l.Say(d.Kind)))
	}
	for _, o := range p.Outputs {
		of := englishOutputKinds[o.Kind.(site.OutputKind)]
		outputs = append(outputs, count(o.N, of[0], of[1]))
	}
	text := count(all, "detector", "detectors") + ": " + strings.Join(detectors, ", ")
	if len(outputs) > 0 {
		text += "; " + strings.Join(outputs, ", ")
	}
	return text
}

func (l English) zoneCable(c ZoneCable) string {
	if c == (ZoneCable{}) {
		return ""
	}
	parts := []string{"cable"}
	run := named(l.run(c.Length))
	if c.Conductor != "" {
		if run != "" {
			run += " of "
		}
		run += named(l.conductor(c.Conductor))
	}
	if run != "" {
		parts[0] += " " + run
	}
	if c.Type != "" {
		parts = append(parts, named(c.Type))
	}
	if c.Reused {
		parts = append(parts, "reused")
	}
	return strings.Join(parts, ", ")
}

func (l English) cablesReused(c CablesReused) string {
	var parts []string
	for _, of := range []struct {
		zones Zones
		what  string
	}{{c.Yes, "yes"}, {c.No, "no"}, {c.Unsaid, "not said"}} {
		if len(of.zones) > 0 {
			parts = append(parts, of.what+": "+plural(len(of.zones), "zone ", "zones ")+zones(of.zones))
		}
	}
	return strings.Join(parts, "; ")
}
