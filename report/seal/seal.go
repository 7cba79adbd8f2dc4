// Package seal makes the file of a certificate carry its own evidence, and signs
// the whole of it.
//
// # What a sealed certificate is
//
// A PDF in one revision, written in the one form that package pdffile knows, so that
// it can be checked with little code and read in one way only. It carries as
// attachments:
//
//   - journal.jsonl: the record of the visit, byte by byte (see package journal);
//   - certificate.json: what the pages state (see package evidence);
//   - photograph-<n>.jpg or .png: the photographs that the journal names.
//
// Each is associated with the document (ISO 32000-2, 14.13): the journal as its source,
// certificate.json as its data, photographs as supplements. The identifier of the file
// follows from what is attached. Streams are packed; what they hold counts, not how.
//
// It is signed once, as the last thing done, over every byte but the signature's
// own place: a certification signature that allows no later change (ISO 32000-1,
// 12.8.2.2: DocMDP with P = 1), CMS detached (RFC 5652) over SHA-256, with the
// signing certificate bound by its hash (RFC 5035), and if asked for a time stamp
// (RFC 3161) over the signature.
package seal

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"time"

	"loopwitness/report/identity"
	"loopwitness/report/pdffile"
)

// Contents is what is sealed, but for the key.
type Contents struct {
	Pages       []byte // a PDF
	Attachments []Attachment
	Made        time.Time // that the attachments, and the signature for those who do not read it, bear
}

// Unsigned is the file without a signature. A PDF that cannot be read is an error.
func Unsigned(c Contents) ([]byte, error) {
	d, err := assemble(c)
	if err != nil {
		return nil, err
	}
	return d.Bytes(), nil
}

// Template is the file as it is before it is signed, with room for a signature of so
// many bytes by that signer: what a signed one is compared with.
func Template(c Contents, room int, signer string) ([]byte, error) {
	pdf, _, err := template(c, room, signer)
	return pdf, err
}

func template(c Contents, room int, signer string) ([]byte, place, error) {
	d, err := assemble(c)
	if err != nil {
		return nil, place{}, err
	}
	signature, err := addSignatureField(d, c.Made, room, signer)
	if err != nil {
		return nil, place{}, err
	}
	return written(d, signature, room)
}

// Sealed is the signed file.
type Sealed struct {
	PDF     []byte
	Stamped bool // with a time stamp
}

// Seal attaches and signs. A time stamp that cannot be had, or would not be accepted by
// whoever verifies, is an error that is a NoStamp: what is sealed may promise one. So
// is the end of the context.
func Seal(ctx context.Context, c Contents, id *identity.Identity, stamp Stamper) (Sealed, error) {
	trial, err := Sign([]byte("trial"), id, nil)
	if err != nil {
		return Sealed{}, err
	}
	const slack = 64 // an ECDSA signature is a few bytes longer or shorter each time
	room := len(trial) + slack + stamp.reserve()
	pdf, at, err := template(c, room, id.Name())
	if err != nil {
		return Sealed{}, err
	}
	var noStamp error
	der, err := Sign(bytes.Join([][]byte{pdf[:at.from], pdf[at.to:]}, nil), id, func(signature []byte) []byte {
		var token []byte
		token, noStamp = stamp.Stamp(ctx, signature)
		return token
	})
	if err = cmp.Or(err, ctx.Err()); err != nil {
		return Sealed{}, err
	}
	if noStamp != nil {
		return Sealed{}, NoStamp{noStamp}
	}
	if len(der) > room {
		return Sealed{}, fmt.Errorf("sign: %d bytes do not fit their place of %d", len(der), room)
	}
	at.fill(pdf, der)
	return Sealed{PDF: pdf, Stamped: stamp.URL != ""}, nil
}

// assemble is the document with its attachments.
func assemble(c Contents) (*pdffile.Objects, error) {
	f, err := pdffile.Open(c.Pages)
	if err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	d, err := f.Objects()
	if err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	if d.Dict(d.Root) == nil || d.Dict(d.Info) == nil {
		return nil, fmt.Errorf("seal: %w: it has no catalogue or no information", pdffile.ErrNotRead)
	}
	attach(d, c)
	return d, nil
}
