package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/invented"
	"loopwitness/commission/journal"
)

// handedOver writes the whole hand-over visit of an invented site of so many detectors, two on a
// zone, into a job's folder.
func handedOver(dir string, detectors int) (journal.Contents, error) {
	f := invented.Large{Zones: max(1, detectors/2), Detectors: detectors}.Files()
	raw, err := dryrun.Visit{Site: f.Site, Controller: f.Controller, Answers: f.Answers}.Journal(context.Background())
	if err != nil {
		return journal.Contents{}, fmt.Errorf("the visit: %w", err)
	}
	folder := filepath.Join(dir, "visits", visit)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return journal.Contents{}, err
	}
	if err := os.WriteFile(filepath.Join(folder, "journal.jsonl"), raw, 0o600); err != nil {
		return journal.Contents{}, err
	}
	return journal.Read(bytes.NewReader(raw))
}
