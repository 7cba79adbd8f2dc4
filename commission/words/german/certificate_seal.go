package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// ofSeal says what stands with photographs, with the seal and at the foot of pages.
func (l Language) ofSeal(p words.Phrase) string {
	switch p := p.(type) {
	case record.Motif:
		return l.motif(p)
	case record.About:
		return germanMotifs[p]
	case photograph.Hidden:
		return germanHidden[p]
	case words.PictureTitle:
		return fmt.Sprintf("P%d  %s", p.N, l.Say(p.Shows))
	case words.PictureLearnt:
		return "taken when the site was learnt"
	case words.PictureLost:
		return "no longer there as it was added"
	case words.PhotographTakenBack:
		return l.photographTakenBack(p)
	case words.PictureAdded:
		return "added " + l.Moment(p.At)
	case words.PictureWithout:
		return l.without(p.Removed)
	case words.DigestBegins:
		return "SHA-256 " + p.Digits + " …"
	case words.AttachedPhotograph:
		return "Photograph: " + l.Say(p.Shows)
	case words.SignedBy:
		return p.Name + " (as its certificate says)"
	case words.Attached:
		return attached(p)
	case words.JournalBegins:
		return "journal " + p.Digits + " …"
	case words.PageOf:
		return fmt.Sprintf("page %d of %d", p.Page, p.Pages)
	}
	return ""
}

var germanMotifs = map[record.About]string{
	record.AboutSupply: "Supply", record.AboutController: "Controller", record.AboutSite: "Premises",
}

func (l Language) motif(m record.Motif) string {
	switch {
	case m.Zone != nil:
		return capital(l.Say(*m.Zone))
	case m.Detector != nil:
		return l.Say(*m.Detector)
	case m.Output != "":
		return "Output " + m.Output
	}
	return l.Say(m.Part)
}

// englishHidden is what may be hidden in the file of a photograph.
var germanHidden = map[photograph.Hidden]string{photograph.Location: "location",
	photograph.OtherData: "other hidden data"}

func (l Language) without(removed []photograph.Hidden) string {
	what := words.List{By: words.And}
	for _, h := range removed {
		what.Of = append(what.Of, h)
	}
	return l.Say(what) + " removed from the file"
}

func attached(p words.Attached) string {
	text := fmt.Sprintf("journal.jsonl, the complete record of the visit (%s); certificate.json, what these pages state",
		count(p.Entries, "entry", "entries"))
	if p.Photographs > 0 {
		text += "; " + count(p.Photographs, "photograph", "photographs")
	}
	return text + ". Any PDF reader can save them."
}
