package extract

import "loopwitness/report/verify"

// Checked is the record in a file that was checked, and what came of that. tool is the
// name and version that checked it. The report must have an Assessment.
func Checked(r *verify.Report, tool string) Data {
	out := From(r.Assessment, r.Fingerprint, tool)
	check := checkOf(r)
	out.Check, out.Certificate = &check, &CertificateFile{r.Document, r.Tool}
	return out
}

func checkOf(r *verify.Report) Check {
	c := Check{Outcome: string(r.Outcome), Problems: []string{}}
	for _, p := range r.Problems {
		c.Problems = append(c.Problems, p.Text)
	}
	if s := r.Signature; s != nil {
		c.SignedBy, c.KeyFingerprint, c.Trusted, c.SignedAt = s.Name, s.Fingerprint, s.Trust.Trusted, stamp(s.When())
		c.TimeConfirmed = s.Stamp != nil && s.Stamp.Trusted
	}
	return c
}
