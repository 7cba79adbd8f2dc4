package main

import (
	"fmt"
	"time"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/report/certify"
	"loopwitness/report/evidence"
	"loopwitness/report/verify"
	"loopwitness/report/webpage"
)

// origins are what came of checking a file, as a page of text says it.
var origins = map[verify.Outcome]webpage.Origin{verify.Intact: webpage.IntactFile, verify.Failed: webpage.FailedFile,
	verify.Unchecked: webpage.UncheckedFile}

// pageOfVisit prints what a certificate of a visit would say, in a language, "" for that of the certificate.
// It is made as the certificate is, so that it bears its number, and no key seals it.
func (s streams) pageOfVisit(v job.Visit, contents journal.Contents, tag string) error {
	language, err := languageOf(tag)
	if err != nil {
		return err
	}
	m := evidence.Making{Language: language, Tool: tool, Made: time.Unix(0, 0).UTC()} // when it was made stands on no page
	if m.Revision, err = v.LastRevision(); err != nil {
		return err
	}
	parts, err := evidence.Make(contents, certify.KeptBy(v), m)
	if err != nil {
		return fmt.Errorf("%s: %w", v.Journal(), err)
	}
	return webpage.Write(s.out, parts.Document, webpage.Visit)
}
