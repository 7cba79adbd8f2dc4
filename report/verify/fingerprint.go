package verify

import (
	"fmt"
	"strings"
)

// shortestFingerprint is how many digits of a fingerprint have to be given to find a
// certificate with.
const shortestFingerprint = 16

// CleanFingerprint is a fingerprint as typed from paper, without blanks, colons and
// dots; an error if it is none.
func CleanFingerprint(typed string) (string, error) {
	digits := strings.ToLower(strings.NewReplacer(" ", "", ":", "", "…", "", ".", "", "-", "").Replace(typed))
	if strings.Trim(digits, "0123456789abcdef") != "" || len(digits) < shortestFingerprint || len(digits) > 64 {
		return "", fmt.Errorf(
			"%q is no fingerprint: take %d to 64 of the hexadecimal digits that the certificate prints", typed,
			shortestFingerprint)
	}
	return digits, nil
}

// EnoughDigits is how many digits of a fingerprint prove what it fits: nobody makes two
// records, or another key, with as many alike. So many stand at the foot of each page.
const EnoughDigits = 32

// matchFingerprint tells what a fingerprint fits. That of a key tells who signed, as a
// trusted certificate would.
func (r *Report) matchFingerprint(want string) {
	if want == "" {
		return
	}
	r.Paper = &Paper{Digits: len(want)}
	switch {
	case strings.HasPrefix(r.Fingerprint, want):
		r.Paper.Fits = "record"
	case r.Signature != nil && strings.HasPrefix(r.Signature.Fingerprint, want):
		r.Paper.Fits = "key"
		if t := &r.Signature.Trust; !t.Asked && len(want) >= EnoughDigits {
			*t = Trust{Asked: true, Trusted: true,
				Reason: fmt.Sprintf("its key is the one whose fingerprint was given (%d of 64 digits)", len(want))}
		}
	default:
		r.problem(Mismatch,
			"the fingerprint is neither that of its record nor that of its key: it belongs to another certificate")
	}
}
