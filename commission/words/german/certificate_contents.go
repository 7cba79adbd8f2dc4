package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

var germanContentLabels = map[words.Label]string{
	words.DesignLabel:     "Designed by",
	words.AuthorityLabel:  "To be informed",
	words.ControlsLabel:   "User's controls",
	words.InterfacesLabel: "Joined to",
	words.FittedLabel:     "Fitted",
	words.CablesLabel:     "Cables reused",
	words.SiteFileLabel:   "Site file",
	words.KeptLabel:       "Record kept",
}

var germanContentNotes = map[words.Note]string{
	words.WorkNote: "Tested: what was operated, energised or measured, with what came of it. Inspected: what the lists name, as " +
		"the technician answered. Serviced: only what a line or a remark names as mended, renewed or replaced.",
	words.OwnZoneNote: "A detector is proved by its own zone: the controller reported that zone when it was operated, and at rest " +
		"again after it. Where another answered in its place, that is told.",
}

// englishContentItems are lines of our lists that forms of record ask for.
var germanContentItems = map[programme.ItemCode]string{
	"zone-names": "The controller, and the receiving centre if there is one, show each zone by its name in this record",
	"instruments": "Nothing was measured with an instrument that this record does not name, but with what stands beside, " +
		"its number and calibration",
}

var germanOutputKinds = map[site.OutputKind][2]string{
	site.Sounder: {"sounder", "sounders"}, site.Strobe: {"strobe", "strobes"}, site.Chime: {"chime", "chimes"},
}

// ofContents says what belongs to papers, cables and what is fitted.
func (l Language) ofContents(p words.Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case words.Label:
		text = germanContentLabels[p]
	case words.Note:
		text = germanContentNotes[p]
	case words.Fitted:
		text = l.fitted(p)
	case words.ZoneCable:
		return zoneCable(p), true
	case words.CablesReused:
		text = l.cablesReused(p)
	case words.FileHash:
		text = "SHA-256 begins " + p.Begins + "; attached within the record"
	case words.InPlaceOf:
		if text = "the first of this visit"; p.Revision > 1 {
			text = fmt.Sprintf("in place of rev. %d", p.Revision-1)
		}
	}
	return text, text != ""
}

func (l Language) fitted(p words.Fitted) string {
	var detectors, outputs []string
	all := 0
	for _, d := range p.Detectors {
		all += d.N
		detectors = append(detectors, fmt.Sprintf("%d %s", d.N, l.Say(d.Kind)))
	}
	for _, o := range p.Outputs {
		of := germanOutputKinds[o.Kind.(site.OutputKind)]
		outputs = append(outputs, count(o.N, of[0], of[1]))
	}
	text := count(all, "detector", "detectors") + ": " + strings.Join(detectors, ", ")
	if len(outputs) > 0 {
		text += "; " + strings.Join(outputs, ", ")
	}
	return text
}

func zoneCable(c words.ZoneCable) string {
	if c == (words.ZoneCable{}) {
		return ""
	}
	parts := []string{"cable"}
	run := named(c.Length)
	if c.Conductor != "" {
		if run != "" {
			run += " of "
		}
		run += named(c.Conductor)
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

func (l Language) cablesReused(c words.CablesReused) string {
	var parts []string
	for _, of := range []struct {
		zones words.Zones
		what  string
	}{{c.Yes, "of an older system"}, {c.No, "of none"}, {c.Unsaid, "not said"}} {
		if len(of.zones) > 0 {
			parts = append(parts, plural(len(of.zones), "zone ", "zones ")+zones(of.zones)+" "+of.what)
		}
	}
	return strings.Join(parts, "; ")
}
