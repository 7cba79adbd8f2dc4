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
		box.Instead = w.say(words.NotSignedStatus)
		return box
	}
	when := words.Instant{At: w.r.Local(s.At())}
	switch {
	case signed.Refused:
		box.Instead, box.Name = w.say(words.RefusedSigning), w.say(words.NotNamed)
		if signed.Called != "" {
			box.Name = w.say(words.Named(signed.Called))
		}
		box.Detail = w.commas(words.RefusedStatus, words.Remarked(signed.Position), when)
		return box
	case signed.Name == "":
		box.Instead, box.Name = w.say(words.AbsentSigning), w.say(words.NobodySignedStatus)
		box.Detail = w.commas(words.Remarked(signed.Position), when)
		return box
	}
	box.Name, box.Strokes = w.say(words.Named(signed.Name)), signed.Strokes
	var detail []words.Phrase
	if signed.Role == programme.Technician {
		detail = append(detail, words.Detail{Kind: words.LicenceDetail, Text: signed.Licence}, when)
	} else {
		box.Drawing = signed.Drawing
		detail = append(detail, words.Named(signed.Position), when)
		var ids []string
		for _, a := range signed.Accepted {
			ids = append(ids, a.ID)
		}
		if len(ids) > 0 {
			detail = append(detail, words.Accepts{IDs: ids})
		}
	}
	switch {
	case box.Strokes != nil:
		detail = append(detail, words.OnGlassSigning)
	case box.Drawing != nil:
		detail = append(detail, words.PictureSigning)
	default:
		box.Instead = w.say(words.TypedSigning)
	}
	box.Detail = w.commas(detail...)
	return box
}
