package words

import "fmt"

var englishWebLabels = map[WebLabel]string{
	WebDangers: "Dangers", WebAbout: "What this page is", WebResult: "Result", WebContents: "Contents",
	WebSkip: "Skip to the text", WebSkipList: "Skip the contents", WebNumber: "Certificate",
	WebVisit: "Number", WebJournal: "SHA-256 of the journal", WebCheck: "That file, when this page was made",
	WebInstaller: "Installer", WebLimit: "Limit", WebLine: "Shown as", WebWithin: "Uncertainty ±",
	WebMark: "Point", WebName: "Name", WebChange: "Change",
	WebCode: "Text of the square code on the page:",
	WebForThose: "This page is no certificate, and nobody sealed it: anybody can change it, and nothing shows that. It " +
		"says what the pages of the certificate say, for those who cannot see pages.",
	WebOnPages: "On every page of the certificate: ",
	WebWho:     "Who says so, and when", WebLegend: "What the signs mean", WebNo: "No.", WebGrade: "How grave",
	WebWhat: "What", WebWhen: "When", WebValue: "Value", WebVerdict: "Verdict",
	WebIntact:    "was checked: it is sealed, its verdicts follow from its record, and its pages show them.",
	WebFails:     "was checked and FAILS: do not rely on this page. What fails, tells: loopwitness verify FILE.",
	WebUnchecked: "was checked, but not all of it could be. What could not, tells: loopwitness verify FILE.",
	WebOfFile:    "What counts is the file of the certificate with this number and this journal:",
	WebOfVisit: "This page was made from a visit as it stands in the folder of a job; no file of a certificate was looked at. " +
		"A certificate goes with it only if it is of this visit and has this journal:",
	WebFailsFirst: "The file from which this page was made FAILED its check. Do not rely on what stands here.",
}

// ofWeb says what a page of text says of itself.
func (l English) ofWeb(p Phrase) (string, bool) {
	switch p := p.(type) {
	case WebLabel:
		return englishWebLabels[p], englishWebLabels[p] != ""
	case WebHeading:
		if p.Certified {
			return "Text of certificate " + p.Number, true
		}
		return "Text of visit " + p.Number, true
	case WebCaption:
		return fmt.Sprintf("%s, table %d of %d", p.Title, p.N, p.Many), true
	case WebValues:
		return fmt.Sprintf("Values of the chart: %s, over %s", p.Of, p.Over), true
	case WebSpan:
		return fmt.Sprintf("%s to %s", l.Number(p.From, AsNeeded), l.Number(p.To, AsNeeded)), true
	case WebDrawn:
		if p.Picture {
			return "A signature was supplied as a picture for " + p.Name, true
		}
		return "A signature was drawn by " + p.Name, true
	case WebPhotograph:
		return "Photograph " + p.Title, true
	}
	return "", false
}
