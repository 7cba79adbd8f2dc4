package seal

import (
	"bytes"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// The names of attachments. A photograph is called photograph-<n> with the ending
// of its kind.
const (
	JournalName   = "journal.jsonl"
	StatementName = "certificate.json"
)

// Attachment is a file that the certificate carries.
type Attachment struct {
	Name        string
	Media       string // its media type, such as image/jpeg
	Description string
	Content     []byte
}

// attach embeds the attachments into the PDF, where any reader lists them.
func attach(ctx *model.Context, c Contents) error {
	for _, a := range c.Attachments {
		if err := attachOne(ctx, c, a); err != nil {
			return fmt.Errorf("attach %s: %w", a.Name, err)
		}
	}
	return nil
}

func attachOne(ctx *model.Context, c Contents, a Attachment) error {
	if err := ctx.AddAttachment(model.Attachment{Reader: bytes.NewReader(a.Content), ID: a.Name, FileName: a.Name, Desc: a.Description, ModTime: &c.Made}, false); err != nil {
		return err
	}
	file, err := embedded(ctx, a.Name)
	if err != nil {
		return err
	}
	if a.Media != "" {
		file.Dict["Subtype"] = types.Name(types.EncodeName(a.Media))
	}
	// The library puts the time of the computer where the time of the certificate belongs.
	if params := file.DictEntry("Params"); params != nil {
		params["CreationDate"] = types.StringLiteral(types.DateString(c.Made))
		params["ModDate"] = types.StringLiteral(types.DateString(c.Made))
	}
	return nil
}

// embedded is the stream of an attachment that was just added.
func embedded(ctx *model.Context, name string) (*types.StreamDict, error) {
	value, found := ctx.Names["EmbeddedFiles"].Value(name)
	if !found {
		return nil, fmt.Errorf("the library lost it")
	}
	spec, err := ctx.DereferenceDict(value)
	if err != nil {
		return nil, err
	}
	files, err := ctx.DereferenceDict(spec["EF"])
	if err != nil {
		return nil, err
	}
	file, _, err := ctx.DereferenceStreamDict(files["F"])
	return file, err
}
