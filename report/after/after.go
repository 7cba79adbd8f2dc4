// Package after takes a sealed certificate of another job in, for a visit that comes after
// it: what was found there, and whose seal it bears. The file is from anybody. It has to be
// sealed, and its verdicts and pages must not differ from its record; what is taken is what
// its record gives by our own rules, never what its pages or its statement say.
package after

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/report/evidence"
	"loopwitness/report/verify"
)

var (
	// ErrRefused says that a file is not taken in; why, stands behind it.
	ErrRefused = errors.New("it is not taken in")
	// ErrElsewhere is ErrRefused for a certificate of other premises.
	ErrElsewhere = fmt.Errorf("%w: it is of other premises", ErrRefused)
)

// Options are what is told from outside.
type Options struct {
	verify.Options
	// Practice: practice is taken in, by a visit that is practice itself.
	Practice bool
	// SamePremises: whoever takes it in says that it is of the premises, whatever they are
	// called in it.
	SamePremises bool
}

// Read is what a visit of a site takes in of a certificate. Errors wrap ErrRefused.
func Read(name string, file []byte, s *site.Site, o Options) (record.Earlier, error) {
	r := verify.Check(name, file, o.Options)
	if err := refusal(r, o); err != nil {
		return record.Earlier{}, err
	}
	then := r.Assessment.Record().Site()
	if !o.SamePremises && !samePremises(then, s) {
		return record.Earlier{}, fmt.Errorf("%w: %s, %s (%s); this site is %s, %s (%s)", ErrElsewhere,
			oneline.Clean(then.Premises.Name), oneline.Clean(then.Premises.Address), oneline.Clean(then.Reference),
			s.Premises.Name, s.Premises.Address, s.Reference)
	}
	e := job.Remember(r.Assessment, r.Fingerprint)
	e.Certificate, e.SealedRules = evidence.Digest(file), r.Rules
	e.SealedBy = &record.SealedBy{Name: oneline.Clean(r.Signature.Name), Fingerprint: r.Signature.Fingerprint,
		Trusted: r.Signature.Trust.Trusted}
	if err := e.Check(); err != nil {
		return record.Earlier{}, fmt.Errorf("%w: %w", ErrRefused, err)
	}
	return e, nil
}

// refusal says why a file that was checked is not taken in, nil where it is.
func refusal(r *verify.Report, o Options) error {
	not := func(why string) error { return fmt.Errorf("%w: %s", ErrRefused, why) }
	otherRules := has(r, verify.OtherRules)
	other := otherRules || has(r, verify.OtherEdition)
	switch {
	case r.Sealed.Reply == verify.Fails:
		return not(r.Sealed.Why)
	case r.Signature == nil || r.Sealed.Reply != verify.Holds:
		return not(problems(r))
	case has(r, verify.Untrusted, verify.Untimed):
		return not(problems(r))
	case r.Signature.ThrowAway:
		return not("its key was made for one demonstration")
	case r.Assessment == nil:
		return not(problems(r))
	case r.Follows.Reply == verify.Fails, r.Follows.Reply == verify.NotCompared && !otherRules:
		return not("its verdicts do not follow from its record: " + r.Follows.Why)
	case r.Shown.Reply == verify.Fails, r.Shown.Reply == verify.NotCompared && !other:
		return not("its pages do not show its record: " + r.Shown.Why)
	case r.Contradicts:
		return not("its record contradicts itself")
	case r.Ahead:
		return not("its visit ended later than it is now by this computer's clock")
	case r.Simulated && !o.Practice:
		return fmt.Errorf("%w: %w", ErrRefused, job.ErrPractice)
	}
	return nil
}

func has(r *verify.Report, kinds ...verify.ProblemKind) bool {
	return slices.ContainsFunc(r.Problems, func(p verify.Problem) bool { return slices.Contains(kinds, p.Kind) })
}

func problems(r *verify.Report) string {
	var texts []string
	for _, p := range r.Problems {
		texts = append(texts, p.Text)
	}
	return strings.Join(texts, "; ")
}

// samePremises tells whether two site files are of one place: by its name, its address or
// the job's number.
func samePremises(a, b *site.Site) bool {
	same := func(x, y string) bool {
		plain := func(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }
		return plain(x) != "" && plain(x) == plain(y)
	}
	return same(a.Premises.Name, b.Premises.Name) || same(a.Premises.Address, b.Premises.Address) ||
		same(a.Reference, b.Reference)
}
