package certificate

import (
	"slices"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

func (w writer) names() Section {
	var boxes Signatures
	var confirmed []words.Phrase
	for _, s := range w.r.Outcomes() {
		if s.Step().Kind != programme.StepSign {
			continue
		}
		boxes = append(boxes, w.signature(s))
		if signed := s.Signed(); signed != nil && signed.Role == programme.Technician && signed.Name != "" {
			confirmed = append(confirmed, words.TechnicianNote)
		}
	}
	if len(boxes) == 0 {
		return Section{}
	}
	if c := w.r.Customer(); c != nil && c.Name != "" {
		confirmed = append(confirmed, words.CustomerNote)
	}
	if slices.ContainsFunc(boxes, func(b Signature) bool { return b.Drawing != nil }) {
		confirmed = append(confirmed, words.PictureNote)
	}
	if slices.ContainsFunc(boxes, func(b Signature) bool { return b.Strokes != nil }) {
		confirmed = append(confirmed, words.GlassNote)
	}
	if len(confirmed) == 0 {
		return w.section(words.NamesHeading, boxes)
	}
	return w.section(words.NamesHeading, boxes, w.quiet(words.List{By: words.Sentences, Of: confirmed}))
}

func (w writer) signature(s *record.Outcome) Signature {
	box := Signature{Role: w.say(words.Titled{Of: s.Step().Role})}
	signed := s.Signed()
	if signed == nil {
		box.Detail = w.say(words.NotSignedStatus)
		return box
	}
	box.Name = w.say(words.Named(signed.Name))
	when := words.Instant{At: w.r.Local(s.At())}
	switch {
	case signed.Refused:
		box.Name, box.Detail = w.say(words.RefusedStatus), w.say(words.Remarked(signed.Position))
		return box
	case signed.Name == "":
		box.Name, box.Detail = w.say(words.NobodySignedStatus), w.say(words.Remarked(signed.Position))
		return box
	}
	box.Strokes = signed.Strokes
	if signed.Role == programme.Technician {
		box.Detail = w.commas(words.Detail{Kind: words.LicenceDetail, Text: signed.Licence}, when)
		return box
	}
	var ids []string
	for _, a := range signed.Accepted {
		ids = append(ids, a.ID)
	}
	detail := []words.Phrase{words.Named(signed.Position), when}
	if len(ids) > 0 {
		detail = append(detail, words.Accepts{IDs: ids})
	}
	box.Detail = w.commas(detail...)
	box.Drawing = signed.Drawing
	return box
}
