// Package seal makes the file of a certificate carry its own evidence.
//
// For now that is the journal of the visit, attached as journal.jsonl exactly as
// it was written (see package journal for its format): any PDF reader can save
// it, and folding it again gives the record that the pages show. Nothing is
// signed yet.
package seal

import (
	"bytes"
	"fmt"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// JournalName is what the attached journal is called.
const JournalName = "journal.jsonl"

// Attach returns the PDF with the journal attached. at is the time that the
// attachment says it was changed. A PDF that cannot be read is an error.
func Attach(pdf, journal []byte, at time.Time) ([]byte, error) {
	api.DisableConfigDir() // the library would write a configuration under the home folder
	conf := model.NewDefaultConfiguration()
	ctx, err := api.ReadValidateAndOptimize(bytes.NewReader(pdf), conf)
	if err != nil {
		return nil, fmt.Errorf("attach the journal: %w", err)
	}
	err = ctx.AddAttachment(model.Attachment{Reader: bytes.NewReader(journal), ID: JournalName, FileName: JournalName,
		Desc: "The record of the visit, as it was written", ModTime: &at}, false)
	if err != nil {
		return nil, fmt.Errorf("attach the journal: %w", err)
	}
	var out bytes.Buffer
	if err := api.Write(ctx, &out, conf); err != nil {
		return nil, fmt.Errorf("attach the journal: %w", err)
	}
	return out.Bytes(), nil
}
