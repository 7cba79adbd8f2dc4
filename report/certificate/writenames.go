package certificate

import (
	"fmt"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

func (w writer) names() Section {
	var boxes Signatures
	for _, s := range w.r.Outcomes() {
		if s.Step().Kind != programme.StepSign {
			continue
		}
		boxes = append(boxes, w.signature(s))
	}
	if len(boxes) == 0 {
		return Section{}
	}
	text := "The technician confirms that the work described was done with reasonable skill and care."
	if c := w.r.Customer(); c != nil && c.Name != "" {
		text += " As the technician entered it: the customer's representative was shown the findings and limitations and accepts those listed by number beside the name. That acceptance repairs nothing; a drawn signature is a picture that the technician supplied."
	}
	return Section{"Names", []Block{boxes, Prose{Text: text, Quiet: true}}}
}

func (w writer) signature(s *record.Outcome) Signature {
	box := Signature{Role: capital(string(s.Step().Role))}
	signed := s.Signed()
	if signed == nil {
		box.Detail = "not signed"
		return box
	}
	box.Name = signed.Name
	when := w.clock(s.At())
	switch {
	case signed.Refused:
		box.Name, box.Detail = "was shown the list, does not accept it", signed.Position
		return box
	case signed.Name == "":
		box.Name, box.Detail = "nobody signed", signed.Position
		return box
	case signed.Role == programme.Technician:
		box.Detail = joined(", ", labelled("licence", signed.Licence), when)
		return box
	}
	var ids []string
	for _, a := range signed.Accepted {
		ids = append(ids, a.ID)
	}
	box.Detail = joined(", ", signed.Position, when, labelled("accepts", shortList(ids)))
	box.Drawing = signed.Drawing
	return box
}

// shortList names the first of many.
func shortList(ids []string) string {
	if len(ids) > 12 {
		return strings.Join(ids[:6], " ") + fmt.Sprintf(" … %s (%d in all)", ids[len(ids)-1], len(ids))
	}
	return strings.Join(ids, " ")
}
