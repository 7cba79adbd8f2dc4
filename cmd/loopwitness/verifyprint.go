package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/words"
	"loopwitness/report/verify"
)

// json prints a value whose texts come from a file of anybody: what a terminal would
// obey, or show otherwise than it is, is escaped.
func (s streams) json(v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	return write(s.out, []byte(inertJSON(b.String())))
}

// inertJSON escapes what a terminal would obey, or show otherwise than it is.
func inertJSON(text string) string {
	var out strings.Builder
	for _, r := range text {
		if r != '\n' && (oneline.Unseen(r) || unicode.Is(unicode.Cf, r)) { // joiners, too
			for _, unit := range utf16.Encode([]rune{r}) {
				fmt.Fprintf(&out, "\\u%04x", unit)
			}
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}

// verdictOn is the outcome in a sentence. Intact is only half of it: by whom is the
// other, and what the visit showed is not touched by either.
func verdictOn(r *verify.Report) string {
	text := "NOT CHECKED: it proves nothing"
	switch {
	case has(r, verify.TooMuch) && r.Outcome != verify.Failed:
		text = "NOT CHECKED TO ITS END: it holds more than this program looks at; it proves nothing"
	case r.Outcome == verify.Intact && r.Signature.Trust.Trusted:
		text = "intact since somebody you trust signed it, and every verdict follows from its record"
	case r.Outcome == verify.Intact:
		text = "intact since it was signed, every verdict follows from its record; by whom is not proved"
	case r.Outcome == verify.Failed:
		text = failureOf(r)
	case has(r, verify.OtherRules):
		text = "VERDICTS NOT CHECKED: it was made by other rules than this program has; " +
			"nothing here shows whether they follow from its record"
	case has(r, verify.OtherEdition):
		text = "PAGES NOT CHECKED: they are of another edition than this program draws; " +
			"what it says was judged follows from its record, whatever they show"
	case only(r, verify.NoSeal):
		text = "NOT SIGNED: its verdicts follow from its record, but anybody may have made or changed it"
	}
	if r.Contradicts {
		text = "ITS RECORD CONTRADICTS ITSELF, see below; apart from that " + text
	}
	if r.Ahead {
		text = "LATER THAN NOW by this computer's clock, so that one of the two clocks is wrong: " + text
	}
	if r.Simulated {
		text = "PRACTICE, no evidence of any installation: " + text
	}
	return text
}

// failureOf is what fails, what matters most first.
func failureOf(r *verify.Report) string {
	switch {
	case r.Sealed.Reply == verify.Fails:
		return "NOT AS IT WAS SEALED: do not rely on it"
	case r.Follows.Reply == verify.Fails:
		return "ITS VERDICTS DO NOT FOLLOW from its record: do not rely on it"
	case r.Shown.Reply == verify.Fails:
		return "ITS PAGES DO NOT SHOW what its record gives: do not rely on them"
	case only(r, verify.Untrusted):
		return "NOT BY ANYBODY YOU TRUST, though intact since it was signed"
	case has(r, verify.Untrusted):
		return "NOT BY ANYBODY YOU TRUST, and not wholly checked"
	case only(r, verify.Untimed):
		return "TIME NOT CONFIRMED by anybody you named, though intact since it was signed"
	case has(r, verify.Untimed) && !has(r, verify.Mismatch):
		return "TIME NOT CONFIRMED by anybody you named, and not wholly checked"
	}
	return "ANOTHER CERTIFICATE than the one that the fingerprint is from"
}

// answers prints the three questions, each with what was found. What is told once is
// not told again.
func (s streams) answers(r *verify.Report) {
	told := map[string]bool{}
	for _, q := range []struct {
		label, holds, fails string
		answer              verify.Answer
	}{
		{"Sealed", "every byte is as it was signed", "do not rely on the file", r.Sealed},
		{"Follows", "the record, judged again, gives the same verdicts and figures", "do not rely on its verdicts",
			r.Follows},
		{"Shown", "the pages show that, and nothing else", "do not rely on its pages", r.Shown},
	} {
		switch q.answer.Reply {
		case verify.Holds:
			s.pair(q.label, "holds: "+q.holds)
		case verify.Fails:
			s.pair(q.label, "FAILS: "+q.fails+"; "+q.answer.Why)
			s.differences(q.answer)
		default:
			why := ": " + q.answer.Why
			if told[q.answer.Why] {
				why = ""
			}
			s.pair(q.label, "not compared"+why)
		}
		told[q.answer.Why] = true
	}
	for _, p := range r.Problems {
		if p.Kind == verify.Untrusted || p.Kind == verify.Untimed || p.Kind == verify.Mismatch {
			s.hanging("   ! ", p.Text)
		}
	}
}

func (s streams) differences(of verify.Answer) {
	const most = 12
	for i, d := range of.Differences {
		if i == most {
			s.say("     and %d more; see --json", len(of.Differences)-most+of.Further)
			break
		}
		s.hanging("     ", d.String())
	}
}

// resultOf is what the visit showed, in words.
func resultOf(r *verify.Report) string {
	text := r.Result
	if r.Result == string(judge.Unsatisfactory) {
		text = strings.ToUpper(text)
	}
	text += fmt.Sprintf("; findings: %d, limitations: %d", r.Findings, r.Limitations)
	if r.Unfinished {
		text += "; the visit is not finished"
	}
	text += ". Judged again by " + tool
	if has(r, verify.OtherRules) {
		text += ", by other rules than it was made by"
	}
	return text
}

func has(r *verify.Report, kind verify.ProblemKind) bool {
	return slices.ContainsFunc(r.Problems, func(p verify.Problem) bool { return p.Kind == kind })
}

// only tells whether a report has one problem, of that kind.
func only(r *verify.Report, kind verify.ProblemKind) bool {
	return len(r.Problems) == 1 && r.Problems[0].Kind == kind
}

// report prints what came of one file, what matters most first.
func (s streams) report(r *verify.Report) {
	s.wrapped(r.File)
	s.hanging("   ", verdictOn(r))
	s.answers(r)
	if r.Document != "" {
		s.pair("Certificate", joinedBy(", ", typedName(r.Document), typedName(r.Premises)))
	}
	if r.Result != "" {
		s.pair("Result", resultOf(r))
	}
	if p := r.Paper; p != nil && p.Fits != "" {
		s.pair("Paper", paperOf(p))
	}
	if r.Signature != nil {
		s.signer(r.Signature)
	}
	if c := r.Compared; c.Pages > 0 {
		what := fmt.Sprintf("%d entries of the record, %d statements, %d pages", c.Entries, c.Statements, c.Pages)
		if c.Photographs > 0 {
			what += fmt.Sprintf(", photographs: %d", c.Photographs)
		}
		if c.Drawn {
			what += "; every mark on the pages"
		}
		s.pair("Compared", what)
	}
	if r.Fingerprint != "" {
		s.pair("Journal", groups(r.Fingerprint))
		s.pair("Written by", r.Tool+", as it says")
	}
	if r.Assessment != nil {
		s.contradictions(r.Assessment)
	}
	for _, n := range r.Notes {
		s.pair("Note", n)
	}
}

// contradictions prints what a record contradicts itself in, if anything.
func (s streams) contradictions(a *judge.Assessment) {
	for _, b := range a.Record().Breaches() {
		s.pair("Contradicts", words.English{}.Say(judge.Contradicted(b)))
	}
}

// paperOf is what a fingerprint from paper shows.
func paperOf(p *verify.Paper) string {
	digits := fmt.Sprintf("%d of its 64 digits", p.Digits)
	if p.Digits == 64 {
		digits = "all 64 digits"
	}
	if p.Digits < verify.EnoughDigits {
		digits += ", enough to find it, too few to prove it"
	}
	if p.Fits == "key" {
		return "the fingerprint is that of the key that signed (" + digits + "), not of its record"
	}
	return "the fingerprint is that of this record (" + digits + "); compare the revision and the key with the paper, too"
}

func (s streams) signer(sig *verify.Signer) {
	name := typedName(sig.Name) + " (the name that the key's owner gave it)"
	if sig.Issuer != "" {
		name = typedName(sig.Name) + " (as certified by " + typedName(sig.Issuer) + ")"
	}
	if sig.ThrowAway {
		name = "a throw-away key of a demonstration: proves nothing about who made it"
	}
	s.pair("Signed by", name)
	s.pair("Key", groups(sig.Fingerprint))
	trusted := "NOT TRUSTED: "
	switch {
	case sig.Trust.Trusted:
		trusted = "trusted: "
	case !sig.Trust.Asked:
		trusted = "not asked: "
	}
	s.pair("Trust", trusted+sig.Trust.Reason)
	when := sig.Claimed.UTC().Format("2006-01-02 15:04:05 UTC") + ", only claimed: by the signer's own clock"
	if st := sig.Stamp; st != nil {
		confirmed := "a time stamp by " + st.Authority + ", which is not trusted (" + st.Reason + ")"
		if st.Trusted {
			confirmed = "confirmed by the time stamp of " + st.Authority + ", " + st.Reason
		}
		when = st.Time.UTC().Format(time.DateTime+" UTC") + ", " + confirmed
	}
	s.pair("Signed at", when)
}

func joinedBy(separator string, parts ...string) string {
	var there []string
	for _, p := range parts {
		if p != "" {
			there = append(there, p)
		}
	}
	return strings.Join(there, separator)
}

// pair prints a label and what belongs to it.
func (s streams) pair(label, text string) { s.hanging(fmt.Sprintf("   %-12s ", label), text) }

// hanging prints a text from outside behind a lead, further lines below its beginning.
func (s streams) hanging(lead, text string) {
	indent := strings.Repeat(" ", len([]rune(lead)))
	for i, l := range screen.Wrap(screen.Clean(text), s.width()-len(indent)) {
		if i > 0 {
			lead = indent
		}
		s.say("%s%s", lead, l)
	}
}
