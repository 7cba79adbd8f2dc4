package extract

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// EarlierVisit is a visit before this one whose record was taken in.
type EarlierVisit struct {
	Document          string `json:"document" jsonschema:"description=number of its certificates without the revision"`
	Kind              string `json:"kind"`
	Begun             string `json:"begun" jsonschema:"format=date-time"`
	Ended             string `json:"ended" jsonschema:"format=date-time"`
	Company           string `json:"company"`
	Result            string `json:"result"`
	Rules             int    `json:"rules" jsonschema:"description=of judging\\, by which that was found"`
	RecordSHA256      string `json:"record_sha256"`
	CertificateSHA256 string `json:"certificate_sha256,omitempty" jsonschema:"description=of the sealed file that it was taken from; absent: from the same job"`
	CertificateRules  int    `json:"certificate_rules,omitempty" jsonschema:"description=by which that file was judged"`
	SignedBy          string `json:"signed_by,omitempty"`
	KeyFingerprint    string `json:"key_fingerprint,omitempty"`
	Trusted           bool   `json:"trusted,omitempty" jsonschema:"description=the signer was named as trusted when it was taken in"`
	Simulated         bool   `json:"simulated,omitempty"`
	DetectorsLeftOut  int    `json:"detectors_left_out,omitempty"`
	FindingsLeftOut   int    `json:"findings_left_out,omitempty"`
}

// Outstanding is what an earlier visit left, and what came of it.
type Outstanding struct {
	Document string   `json:"document" jsonschema:"description=of the visit that found it first"`
	ID       string   `json:"id"`
	Since    string   `json:"since" jsonschema:"format=date-time"`
	Severity string   `json:"severity" jsonschema:"enum=danger,enum=fault,enum=advice"`
	Text     string   `json:"text"`
	CameOfIt string   `json:"came_of_it" jsonschema:"enum=put right,enum=still so,enum=not looked at,enum=shown well,enum=found again,enum=not taken,enum=not told"`
	Now      []string `json:"now,omitempty" jsonschema:"description=findings and limitations of this visit that say so"`
	Because  string   `json:"because,omitempty"`
}

// SinceThen is what the site file has otherwise than at the latest earlier visit.
type SinceThen struct {
	Document string   `json:"document"`
	Changes  []Change `json:"changes"`
}

// Change is one such thing.
type Change struct {
	Code   string `json:"code"`
	Zone   int    `json:"zone,omitempty"`
	Point  string `json:"point,omitempty"`
	Name   string `json:"name,omitempty"`
	Key    string `json:"key,omitempty" jsonschema:"description=of the site file"`
	Before string `json:"before,omitempty"`
	Now    string `json:"now,omitempty"`
	Text   string `json:"text"`
}

// Sampling is which detectors a maintenance visit took.
type Sampling struct {
	Share  float64  `json:"share" jsonschema:"description=of all detectors\\, at least"`
	Reason string   `json:"reason"`
	Points []string `json:"points" jsonschema:"description=that it had when it began"`
}

func earlierOf(a *judge.Assessment) []EarlierVisit {
	out := []EarlierVisit{}
	for _, e := range a.Record().Earlier() {
		one := EarlierVisit{Document: e.Number, Kind: string(e.Visit), Begun: stamp(e.Begun), Ended: stamp(e.Ended),
			Company: e.Company, Result: e.Result, Rules: e.Rules, RecordSHA256: e.Journal, CertificateSHA256: e.Certificate,
			CertificateRules: e.SealedRules, Simulated: e.Simulated, DetectorsLeftOut: e.DetectorsLeft,
			FindingsLeftOut: e.OutstandingLeft}
		if by := e.SealedBy; by != nil {
			one.SignedBy, one.KeyFingerprint, one.Trusted = by.Name, by.Fingerprint, by.Trusted
		}
		out = append(out, one)
	}
	return out
}

func outstandingOf(a *judge.Assessment) []Outstanding {
	out := []Outstanding{}
	for _, l := range a.Outstanding() {
		out = append(out, Outstanding{Document: l.Then.Visit, ID: l.Then.ID, Since: stamp(l.Then.Begun),
			Severity: string(l.Then.Grade()), Text: english.Say(words.ThenFound{Of: l.Then}), CameOfIt: string(l.How),
			Now: l.Now, Because: l.Because})
	}
	return out
}

func sinceThenOf(a *judge.Assessment) *SinceThen {
	since, all := a.SiteChanges()
	if since == "" {
		return nil
	}
	out := &SinceThen{Document: since, Changes: []Change{}}
	for _, c := range all {
		out.Changes = append(out.Changes, Change{string(c.What), c.Zone, string(c.Point), c.Name, c.Key, c.Before, c.Now,
			english.Say(c)})
	}
	return out
}

func samplingOf(a *judge.Assessment) *Sampling {
	s := a.Record().Opened().Sampling
	if s == nil {
		return nil
	}
	out := &Sampling{Share: s.Share, Reason: s.Reason, Points: []string{}}
	for _, p := range s.Points {
		out.Points = append(out.Points, string(p))
	}
	return out
}
