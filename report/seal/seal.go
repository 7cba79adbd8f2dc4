// Package seal makes the file of a certificate carry its own evidence, and signs
// the whole of it.
//
// # What a sealed certificate is
//
// A PDF in one revision, with a classical cross-reference table and no object
// streams, so that it can be checked with little code. It carries as attachments:
//
//   - journal.jsonl: the record of the visit, byte by byte (see package journal);
//   - certificate.json: what the pages state (see package statement);
//   - photograph-<n>.jpg or .png: the photographs that the journal names.
//
// It is signed once, as the last thing done, over every byte but the signature's
// own place: a certification signature that allows no later change (ISO 32000-1,
// 12.8.2.2: DocMDP with P = 1), CMS detached (RFC 5652) over SHA-256, with the
// signing certificate bound by its hash (RFC 5035), and if asked for a time stamp
// (RFC 3161) over the signature.
package seal

import (
	"bytes"
	"fmt"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"loopwitness/report/identity"
)

// Contents is what is sealed, but for the key.
type Contents struct {
	Pages       []byte // a PDF
	Attachments []Attachment
	Made        time.Time // that the attachments and, as a claim, the signature bear
}

// Unsigned is the file without a signature. A PDF that cannot be read is an error.
func Unsigned(c Contents) ([]byte, error) { return assemble(c, 0, "") }

// Template is the file as it is before it is signed, with a place for a signature
// of any size: what a signed one is compared with.
func Template(c Contents) ([]byte, error) { return assemble(c, 1, "") }

// Sealed is the signed file, and how the time stamp went: nil error for a stamp or
// for none asked.
type Sealed struct {
	PDF     []byte
	NoStamp error
}

// Seal attaches and signs. A time stamp that cannot be had does not hinder it.
func Seal(c Contents, id *identity.Identity, stamp Stamper) (Sealed, error) {
	token := stamp.reserve()
	trial, err := signed([]byte("trial"), id, c.Made, nil)
	if err != nil {
		return Sealed{}, err
	}
	const slack = 64 // an ECDSA signature is a few bytes longer or shorter each time
	size := len(trial) + slack + token
	pdf, err := assemble(c, size, id.Name())
	if err != nil {
		return Sealed{}, err
	}
	spans, err := fillByteRange(pdf, size)
	if err != nil {
		return Sealed{}, err
	}
	var out Sealed
	der, err := signed(bytes.Join(spans, nil), id, c.Made, func(signature []byte) []byte {
		var stamped []byte
		stamped, out.NoStamp = stamp.Stamp(signature)
		return stamped
	})
	if err != nil {
		return Sealed{}, err
	}
	if len(der) > size {
		return Sealed{}, fmt.Errorf("sign: %d bytes do not fit their place of %d", len(der), size)
	}
	fillContents(pdf, len(spans[0]), size, der)
	out.PDF = pdf
	return out, nil
}

// assemble is the file with its attachments, and, if room is not zero, with a
// place for a signature of that many bytes.
func assemble(c Contents, room int, signer string) ([]byte, error) {
	api.DisableConfigDir() // the library would write a configuration under the home folder
	conf := model.NewDefaultConfiguration()
	conf.WriteObjectStream, conf.WriteXRefStream = false, false
	ctx, err := api.ReadValidateAndOptimize(bytes.NewReader(c.Pages), conf)
	if err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	if err := attach(ctx, c); err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	catalog, err := ctx.Catalog()
	if err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	catalog["Lang"] = types.StringLiteral("en")
	if room > 0 {
		if err := addSignatureField(ctx, catalog, c.Made, room, signer); err != nil {
			return nil, fmt.Errorf("seal: %w", err)
		}
	}
	var out bytes.Buffer
	if err := api.Write(ctx, &out, conf); err != nil {
		return nil, fmt.Errorf("seal: %w", err)
	}
	return out.Bytes(), nil
}
