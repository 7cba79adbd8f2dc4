package certificate

import (
	"slices"

	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

func (w writer) photographs() Section {
	var pictures Pictures
	for i, p := range w.r.Photographs() {
		var parts []words.Phrase
		if slices.ContainsFunc(w.a.Lost(), func(l record.Photograph) bool { return l.Name == p.Name }) {
			parts = append(parts, words.PictureLost{})
		}
		if p.Learnt {
			parts = append(parts, words.PictureLearnt{})
		}
		parts = append(parts, words.Remarked(p.Caption), words.Detail{Kind: words.PhotoTakenDetail, Text: p.Taken},
			words.PictureAdded{At: w.r.Local(p.Added)})
		if len(p.Removed) > 0 {
			parts = append(parts, words.PictureWithout{Removed: p.Removed})
		}
		parts = append(parts, words.DigestBegins{Digits: grouped(p.SHA256[:16])})
		pictures = append(pictures, Picture{Image: w.o.Pictures[p.SHA256],
			Title: w.say(words.PictureTitle{N: i + 1, Shows: p.Shows}), Text: w.semicolons(parts...)})
	}
	if len(pictures) == 0 {
		return Section{}
	}
	return w.section(words.PhotographsHeading, pictures, w.quiet(words.PhotographsNote))
}
