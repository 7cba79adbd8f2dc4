package words

import (
	"fmt"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// ofSeal says what stands with photographs, with the seal and at the foot of pages.
func (l English) ofSeal(p Phrase) string {
	switch p := p.(type) {
	case record.Motif:
		return l.motif(p)
	case record.About:
		return englishMotifs[p]
	case photograph.Hidden:
		return englishHidden[p]
	case PictureTitle:
		return fmt.Sprintf("P%d  %s", p.N, l.Say(p.Shows))
	case PictureLearnt:
		return "taken when the site was learnt"
	case PictureLost:
		return "no longer there as it was added"
	case PhotographTakenBack:
		return l.photographTakenBack(p)
	case PictureAdded:
		return "added " + l.Moment(p.At)
	case PictureWithout:
		return l.without(p.Removed)
	case DigestBegins:
		return "SHA-256 " + p.Digits + " …"
	case AttachedPhotograph:
		return "Photograph: " + l.Say(p.Shows)
	case SignedBy:
		return p.Name + " (as its certificate says)"
	case Attached:
		return attached(p)
	case JournalBegins:
		return "journal " + p.Digits + " …"
	case PageOf:
		return fmt.Sprintf("page %d of %d", p.Page, p.Pages)
	}
	return ""
}

var englishMotifs = map[record.About]string{
	record.AboutSupply: "Supply", record.AboutController: "Controller", record.AboutSite: "Premises",
}

func (l English) motif(m record.Motif) string {
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
var englishHidden = map[photograph.Hidden]string{photograph.Location: "location",
	photograph.OtherData: "other hidden data"}

func (l English) without(removed []photograph.Hidden) string {
	what := List{By: And}
	for _, h := range removed {
		what.Of = append(what.Of, h)
	}
	return l.Say(what) + " removed from the file"
}

func attached(p Attached) string {
	text := fmt.Sprintf("journal.jsonl, the complete record of the visit (%s); certificate.json, what these pages state",
		count(p.Entries, "entry", "entries"))
	if p.Photographs > 0 {
		text += "; " + count(p.Photographs, "photograph", "photographs")
	}
	return text + ". Any PDF reader can save them."
}
