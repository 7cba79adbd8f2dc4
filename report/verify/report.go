package verify

import (
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/report/certificate"
)

// Outcome is what came of checking a file, of all questions together.
type Outcome string

// The outcomes.
const (
	Intact    Outcome = "intact"    // signed, and all three questions hold
	Failed    Outcome = "fails"     // one of them fails, or the signer is not the one that was asked for
	Unchecked Outcome = "unchecked" // none fails, but not all were answered, or nobody signed
)

// ProblemKind names what a problem is with.
type ProblemKind string

// The kinds of problems.
const (
	Unreadable ProblemKind = "unreadable" // no certificate, or damaged beyond reading
	TooMuch    ProblemKind = "too much"   // checking all of it would take too long, or too much memory
	Newer      ProblemKind = "newer"      // a later version of the tool wrote it
	NoSeal     ProblemKind = "unsigned"
	CutShort   ProblemKind = "cut short"
	Appended   ProblemKind = "appended"
	Changed    ProblemKind = "changed"   // bytes are not as they were signed
	BadSeal    ProblemKind = "signature" // the signature itself is not sound
	OtherKey   ProblemKind = "other key" // it is signed by another key than the certificate names
	BadRecord  ProblemKind = "record"
	BadPicture ProblemKind = "photograph"
	Form       ProblemKind = "form" // it is written otherwise than this tool writes

	Implausible ProblemKind = "implausible" // its record tells what no visit can have written
	Judgement   ProblemKind = "judgement"   // it says that something else was judged than its record gives
	Statement   ProblemKind = "statement"   // its statements are not what its record gives
	Pages       ProblemKind = "pages"       // its pages show what their record does not give

	OtherRules   ProblemKind = "other rules"   // it was judged by other rules than this program's
	OtherEdition ProblemKind = "other edition" // its pages are of another edition than this program's

	Untrusted ProblemKind = "untrusted"
	Untimed   ProblemKind = "time"        // no trusted authority confirms when it was signed
	Mismatch  ProblemKind = "fingerprint" // it is not the certificate that the fingerprint belongs to
)

// Problem is one thing that is not as it should be, in words.
type Problem struct {
	Kind ProblemKind `json:"kind"`
	Text string      `json:"text"`
}

// Report is what came of checking a file.
type Report struct {
	File        string    `json:"file"`
	Outcome     Outcome   `json:"outcome"`
	Contradicts bool      `json:"contradicts,omitempty"` // its record contradicts itself; what, is a limitation
	Sealed      Answer    `json:"sealed"`                // are the bytes as they were signed by that key?
	Follows     Answer    `json:"follows"`               // does its record give what it says was judged?
	Shown       Answer    `json:"shown"`                 // do its pages show that?
	Problems    []Problem `json:"problems"`
	Document    string    `json:"document,omitempty"`  // number and revision that the file states
	Premises    string    `json:"premises,omitempty"`  // of the record
	Result      string    `json:"result,omitempty"`    // of the visit, judged again
	Tool        string    `json:"tool,omitempty"`      // that wrote the file, as it states
	Rules       int       `json:"rules,omitempty"`     // of judging, by which it says that it was judged
	Simulated   bool      `json:"simulated,omitempty"` // a practice visit
	Fingerprint string    `json:"fingerprint,omitempty"`
	Signature   *Signer   `json:"signature,omitempty"`
	Paper       *Paper    `json:"paper,omitempty"` // nil if no fingerprint was given
	Findings    int       `json:"findings"`        // of the visit, to be put right
	Limitations int       `json:"limitations"`
	Unfinished  bool      `json:"unfinished,omitempty"` // steps of the visit are open
	Compared    Compared  `json:"compared"`
	Ahead       bool      `json:"ahead,omitempty"` // its record ends later than it is now, by this computer's clock
	Notes       []string  `json:"notes,omitempty"`

	// Assessment is of the record in the file, judged by this version; nil if none
	// could be read.
	Assessment *judge.Assessment `json:"-"`
	// Written is what its pages have to say, written by this version; nil unless it was asked for,
	// and could be written.
	Written *certificate.Document `json:"-"`

	told map[ProblemKind]int // how many problems of a kind were found
}

// Paper is how a fingerprint that was given fits.
type Paper struct {
	Fits   string `json:"fits"` // "record" or "key"; "" for neither
	Digits int    `json:"digits"`
}

// Signer is who signed. The signature is sound, else there is no Signer.
type Signer struct {
	Name        string    `json:"name"`             // that the certificate claims
	Issuer      string    `json:"issuer,omitempty"` // that it claims to be issued by; "" for a self-signed one
	Fingerprint string    `json:"fingerprint"`
	ThrowAway   bool      `json:"throw_away,omitempty"`
	Claimed     time.Time `json:"claimed"` // time of signing, by the signer's own clock
	Stamp       *Stamp    `json:"time_stamp,omitempty"`
	Trust       Trust     `json:"trust"`

	stamped bool // a time stamp is there, of whatever worth
}

// Compared counts what was derived again and compared.
type Compared struct {
	Entries     int  `json:"entries"`
	Statements  int  `json:"statements"`
	Pages       int  `json:"pages"`
	Photographs int  `json:"photographs"`
	Drawn       bool `json:"drawn"` // every mark on the pages was compared, not the words alone
}

// Options are what a check is told from outside.
type Options struct {
	Trust       Anchors // signers, or authorities that issue them; nil if nobody was named
	TrustTime   Anchors // authorities of time stamps
	Tool        string  // name and version that checks
	Fingerprint string  // of a paper copy's record or of a key; "" for none
	Written     bool    // keep what its pages have to say in the report
	// Now is the time of this computer, which no time stamp can be later than; zero for
	// that of its clock.
	Now time.Time
}

func (o Options) now() time.Time {
	if o.Now.IsZero() {
		return time.Now()
	}
	return o.Now
}

func (r *Report) problem(kind ProblemKind, format string, args ...any) {
	if r.told == nil {
		r.told = map[ProblemKind]int{}
	}
	if r.told[kind]++; r.told[kind] <= mostProblems {
		r.Problems = append(r.Problems, Problem{kind, cut(fmt.Sprintf(format, args...), longestProblem)})
	}
}

// tellFurther says of each kind of problem how many more there are than are told.
func (r *Report) tellFurther() {
	for i, p := range slices.Backward(r.Problems) {
		if more := r.told[p.Kind] - mostProblems; more > 0 {
			r.Problems[i].Text += fmt.Sprintf(" (and %d more of this kind)", more)
			delete(r.told, p.Kind)
		}
	}
}

func (r *Report) has(kinds ...ProblemKind) bool {
	return slices.ContainsFunc(r.Problems, func(p Problem) bool { return slices.Contains(kinds, p.Kind) })
}
