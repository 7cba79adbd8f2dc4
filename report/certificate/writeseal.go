package certificate

import (
	"fmt"
	"strings"
)

// grouped sets digits in groups of four, so that they can be compared by eye.
func grouped(digits string) string {
	var groups []string
	for len(digits) > 4 {
		groups, digits = append(groups, digits[:4]), digits[4:]
	}
	return strings.Join(append(groups, digits), " ")
}

// inTwoLines sets a fingerprint so that neither line is longer than the other.
func inTwoLines(digits string) string {
	half := len(digits) / 2
	return grouped(digits[:half]) + "\n" + grouped(digits[half:])
}

// seal says who seals the file, and how it can be checked.
func (w writer) seal() Section {
	if w.o.Record == "" {
		return Section{}
	}
	var p Pairs
	s := w.o.Seal
	content := w.number() + "\nrecord sha256:" + w.o.Record
	p.add("Record", inTwoLines(w.o.Record))
	switch s.Kind {
	case Signed:
		p.add("Signed by", s.Name+" (as its certificate says)")
	case ThrowAway:
		p.add("Signed by", "a throw-away key: made for this demonstration, kept nowhere. It proves nothing about who made this.")
	default:
		p.add("Signed by", "nobody. Nothing shows who made this file, or whether it was changed since.")
	}
	if s.Kind != Unsigned {
		p.add("Key", inTwoLines(s.Fingerprint))
		content += "\nkey sha256:" + s.Fingerprint
	}
	p.add("Attached", w.attached())
	return Section{"How to check this certificate", []Block{Code{Content: content, Beside: p}, w.steps(),
		Prose{Text: "No check shows that what was recorded is true: that rests on who recorded it.", Quiet: true}}}
}

// steps are what somebody does who wants to check the certificate.
func (w writer) steps() Items {
	follow := "The program loopwitness checks all of it, without any key or account: loopwitness verify FILE. It judges the attached record again and compares each verdict, figure and mark with these pages."
	paper := "A paper copy: the beginning of Record stands at the foot of every page, all of it above and in the code. With loopwitness verify --fingerprint DIGITS FILE you see whether a file holds the same record; compare the revision"
	if w.o.Seal.Kind == Unsigned {
		return Items{{Mark: "1", Text: follow}, {Mark: "2", Text: paper + ", too."}}
	}
	return Items{
		{Mark: "1", Text: "A PDF reader that shows signatures tells whether the file was changed since it was signed."},
		{Mark: "2", Text: follow},
		{Mark: "3", Text: "Key is the SHA-256 of the signing certificate. Compare it with what the installer gave you by another way than this file, or name a certificate that you trust: loopwitness verify --trust CERTIFICATE FILE. Anybody can write any name into a key."},
		{Mark: "4", Text: paper + " and the key, too."},
	}
}

func (w writer) attached() string {
	text := fmt.Sprintf("journal.jsonl, the complete record of the visit (%d entries); certificate.json, what these pages state", w.r.Entries())
	if n := len(w.r.Photographs()); n > 0 {
		text += fmt.Sprintf("; %d %s", n, plural(n, "photograph", "photographs"))
	}
	return text + ". Any PDF reader can save them."
}
