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
		return "beim Einlernen des Objekts aufgenommen"
	case words.PictureLost:
		return "nicht mehr so da, wie es hinzugefügt wurde"
	case words.PhotographTakenBack:
		return l.photographTakenBack(p)
	case words.PictureAdded:
		return "hinzugefügt " + l.Moment(p.At)
	case words.PictureWithout:
		return l.without(p.Removed)
	case words.DigestBegins:
		return "SHA-256 " + p.Digits + " …"
	case words.AttachedPhotograph:
		return "Foto: " + l.Say(p.Shows)
	case words.SignedBy:
		return p.Name + " (laut Zertifikat)"
	case words.Attached:
		return attached(p)
	case words.JournalBegins:
		return "Journal " + p.Digits + " …"
	case words.PageOf:
		return fmt.Sprintf("Seite %d von %d", p.Page, p.Pages)
	}
	return ""
}

var germanMotifs = map[record.About]string{
	record.AboutSupply: "Versorgung", record.AboutController: "Zentrale", record.AboutSite: "Objekt",
}

func (l Language) motif(m record.Motif) string {
	switch {
	case m.Zone != nil:
		return capital(l.Say(*m.Zone))
	case m.Detector != nil:
		return l.Say(*m.Detector)
	case m.Output != "":
		return "Ausgang " + m.Output
	}
	return l.Say(m.Part)
}

// germanHidden is what may be hidden in the file of a photograph.
var germanHidden = map[photograph.Hidden]string{photograph.Location: "Aufnahmeort",
	photograph.OtherData: "andere verborgene Daten"}

func (l Language) without(removed []photograph.Hidden) string {
	what := words.List{By: words.And}
	for _, h := range removed {
		what.Of = append(what.Of, h)
	}
	return l.Say(what) + " aus der Datei entfernt"
}

func attached(p words.Attached) string {
	text := fmt.Sprintf("journal.jsonl, die vollständige Aufzeichnung des Termins (%s); certificate.json, was "+
		"diese Seiten aussagen",
		count(p.Entries, "Eintrag", "Einträge"))
	if p.Photographs > 0 {
		text += "; " + count(p.Photographs, "Foto", "Fotos")
	}
	return text + ". Jedes PDF-Programm kann sie speichern."
}
