// Package verify checks certificates, for people who trust nobody.
//
// It needs the file only, and answers three questions apart. Sealed: are the bytes as they
// were signed by that key? It checks the one signature over the whole file, its form, and
// what is attached. Follows: does the record, judged again, give the verdicts and figures
// that the file says were judged? Shown: do the pages show that, every word and mark? For
// the last it makes the certificate again. What a file claims of itself is never believed
// where it can be computed; what was made by other rules or another edition is not
// compared, and that is no fault of the file and no praise.
//
// What it cannot show: that what was recorded is true, and who holds a key. For the
// second, Anchors or a fingerprint that is known by another way have to be given.
package verify

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/pdffile"
)

// NotRead is the report of a file that could not be read.
func NotRead(name string, err error) *Report {
	r := &Report{File: name, Problems: []Problem{{Unreadable, fmt.Sprintf("it could not be read: %v", err)}}}
	r.conclude()
	return r
}

// Check checks a file. It does not fail: what hinders it stands in the report.
func Check(name string, file []byte, o Options) (r *Report) {
	r = &Report{File: name, Problems: []Problem{}}
	defer func() {
		if p := recover(); p != nil {
			r.problem(Unreadable, "checking it stopped at a fault of this program: %v", p)
		}
		r.confirmTime(o)
		r.conclude()
	}()
	sealed, at := r.checkSeal(file, o)
	f, err := pdffile.Open(sealed)
	if err == nil {
		err = r.checkForm(f, sealed)
	}
	if err != nil {
		r.unreadable(err)
		return r
	}
	if r.Signature != nil {
		r.Sealed.holds()
		if err := certifies(f, at); err != nil {
			r.problem(BadSeal, "%v", err)
		}
	}
	if err := r.checkContents(f, sealed, at, o); err != nil {
		r.problem(kindOf(err), "%v", err)
	}
	return r
}

// unreadable tells that a file cannot be read, with the likely reason first.
func (r *Report) unreadable(err error) {
	if errors.Is(err, pdffile.ErrEnd) && !r.has(CutShort) {
		r.Problems = slices.DeleteFunc(r.Problems, func(p Problem) bool { return p.Kind == NoSeal })
		r.problem(Unreadable, "its end is missing: it is not complete, ask for it again")
		return
	}
	r.problem(Unreadable, "it cannot be read: %v", err)
}

// checkForm demands that the file is written as this tool writes: the same objects in
// any other form might be another document for another reader.
func (r *Report) checkForm(f *pdffile.File, sealed []byte) error {
	d, err := f.Objects()
	if err != nil {
		return err
	}
	if !bytes.Equal(d.Bytes(), sealed) {
		r.problem(Form, "it is not written as this tool writes: other readers may show something else than was checked here")
	}
	return nil
}

func kindOf(err error) ProblemKind {
	switch {
	case errors.Is(err, evidence.ErrNewer), errors.Is(err, journal.ErrNewer), errors.Is(err, record.ErrUnknownKind):
		return Newer
	case errors.Is(err, journal.ErrDamaged):
		return BadRecord
	case errors.Is(err, errTooMuch), errors.Is(err, evidence.ErrTooMuch):
		return TooMuch
	case errors.Is(err, record.ErrNoSense):
		return Implausible
	case errors.Is(err, evidence.ErrPhotograph):
		return BadPicture
	}
	return Unreadable
}

// conclude answers the questions and draws the outcome. A file that was changed stays
// one, even if what is left of it cannot be read.
func (r *Report) conclude() {
	r.tellFurther()
	r.settle()
	for _, a := range []*Answer{&r.Sealed, &r.Follows, &r.Shown} {
		if a.Reply == "" {
			a.Reply = NotCompared
		}
		if a.Reply == NotCompared && a.Why == "" && len(r.Problems) > 0 {
			a.Why = r.Problems[len(r.Problems)-1].Text // that hindered going on
		}
	}
	all := []Reply{r.Sealed.Reply, r.Follows.Reply, r.Shown.Reply}
	switch {
	case slices.Contains(all, Fails), r.has(Untrusted, Untimed, Mismatch):
		r.Outcome = Failed
	case len(r.Problems) > 0, slices.Contains(all, NotCompared):
		r.Outcome = Unchecked
	default:
		r.Outcome = Intact
	}
}

// checkSeal checks the signature and returns the part of the file that was signed.
func (r *Report) checkSeal(file []byte, o Options) ([]byte, place) {
	at, err := findSignature(file)
	switch {
	case errors.Is(err, errUnsigned):
		if bytes.HasPrefix(file, []byte("%PDF-")) {
			r.Sealed.Why = "it is not signed: nothing shows who made it, or whether it was changed since"
			r.problem(NoSeal, "%s", r.Sealed.Why)
		}
		return file, place{}
	case err != nil:
		r.problem(BadSeal, "%v", err)
		return file, place{}
	case at.end > len(file)+len("\r\n") && endsAsPDF(file):
		r.problem(Changed, "another program has written it anew since it was signed: nothing of what was signed can be "+
			"told from it; ask for the file as it was sent")
		return file, place{}
	case at.end > len(file):
		r.problem(CutShort, "it was cut short: %d of the %d bytes that were signed are missing", at.end-len(file), at.end)
		return file, place{}
	case at.end < len(file):
		r.problem(Appended, "%d bytes were appended after it was signed; below only the signed part is checked",
			len(file)-at.end)
	}
	s, err := checkSignature(file, at)
	switch {
	case errors.Is(err, errChanged):
		r.problem(Changed, "%v: bytes that were signed have been changed", err)
	case err != nil:
		r.problem(BadSeal, "its signature is not sound: %v", err)
	default:
		r.signedBy(s, o)
	}
	return file[:at.end], at
}

// endsAsPDF tells whether a file has its end: then it was not cut short, however much
// shorter it may be than one that was signed.
func endsAsPDF(file []byte) bool {
	return bytes.HasSuffix(bytes.TrimRight(file, "\r\n\x00 "), []byte("%%EOF"))
}

func (r *Report) signedBy(s *signature, o Options) {
	r.Signature = &Signer{Name: identity.Claimed(s.signer), Fingerprint: identity.Fingerprint(s.signer),
		Claimed: s.claimed}
	if !bytes.Equal(s.signer.RawIssuer, s.signer.RawSubject) {
		r.Signature.Issuer = s.signer.Issuer.String()
	}
	r.Signature.stamped = s.token != nil
	if s.token != nil {
		stamp, err := o.TrustTime.checkStamp(s, o.now())
		if err != nil {
			r.problem(BadSeal, "%v", err)
		}
		r.Signature.Stamp = stamp
		if stamp != nil && stamp.odd {
			r.Notes = append(r.Notes, stamp.Reason)
		}
	}
	for _, at := range []time.Time{s.claimed, r.Signature.When()} {
		if err := wellKept(s, at); err != nil {
			r.problem(BadSeal, "%v", err)
			break
		}
	}
	r.Signature.Trust = o.Trust.trust(s, r.Signature.When())
	if t := r.Signature.Trust; t.Asked && !t.Trusted {
		r.problem(Untrusted, "its signer is not trusted: %s", t.Reason)
	}
}

// confirmTime tells where an authority of time stamps was named, and none confirms the time.
func (r *Report) confirmTime(o Options) {
	switch {
	case o.TrustTime == nil || r.Signature == nil:
	case r.Signature.Stamp == nil:
		r.problem(Untimed, "no time stamp confirms when it was signed")
	case !r.Signature.Stamp.Trusted:
		r.problem(Untimed, "its time stamp confirms nothing: %s", r.Signature.Stamp.Reason)
	}
}

// When is the time of signing: of the time stamp if there is a trusted one, else as
// claimed.
func (s *Signer) When() time.Time {
	if s.Stamp != nil && s.Stamp.Trusted {
		return s.Stamp.Time
	}
	return s.Claimed
}

func day(t time.Time) string { return t.UTC().Format(time.DateOnly) }
