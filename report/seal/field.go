package seal

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// nine digits stand where a number of the byte range will: a file is shorter than
// a gigabyte.
const nine = 999_999_999

// addSignatureField gives the document a signature field without a place on the
// pages, whose signature certifies the whole and allows no change.
func addSignatureField(ctx *model.Context, catalog types.Dict, at time.Time, room int, signer string) error {
	signature := types.Dict{
		"Type":      types.Name("Sig"),
		"Filter":    types.Name("Adobe.PPKLite"), // the handler that ISO 32000-1 gives as its example
		"SubFilter": types.Name("adbe.pkcs7.detached"),
		"ByteRange": types.Array{types.Integer(0), types.Integer(nine), types.Integer(nine), types.Integer(nine)},
		"Contents":  types.HexLiteral(strings.Repeat("00", room)),
		"M":         types.StringLiteral(types.DateString(at)),
		"Reason":    types.StringLiteral("The record of a walk-test and the certificate made from it"),
		"Name":      types.NewHexLiteral([]byte(types.EncodeUTF16String(signer))),
		"Reference": types.Array{types.Dict{
			"Type":            types.Name("SigRef"),
			"TransformMethod": types.Name("DocMDP"),
			"TransformParams": types.Dict{"Type": types.Name("TransformParams"), "P": types.Integer(1), "V": types.Name("1.2")},
		}},
	}
	signatureRef, err := ctx.IndRefForNewObject(signature)
	if err != nil {
		return err
	}
	page, pageRef, _, err := ctx.PageDict(1, false)
	if err != nil {
		return err
	}
	const hidden, print, locked = 1 << 1, 1 << 2, 1 << 7
	field := types.Dict{
		"Type": types.Name("Annot"), "Subtype": types.Name("Widget"), "FT": types.Name("Sig"),
		"T": types.StringLiteral("Seal"), "V": *signatureRef, "P": *pageRef,
		"F": types.Integer(hidden | print | locked), "Rect": types.Array{types.Integer(0), types.Integer(0), types.Integer(0), types.Integer(0)},
	}
	fieldRef, err := ctx.IndRefForNewObject(field)
	if err != nil {
		return err
	}
	page["Annots"] = types.Array{*fieldRef}
	const signaturesExist, appendOnly = 1, 2
	catalog["AcroForm"] = types.Dict{"Fields": types.Array{*fieldRef}, "SigFlags": types.Integer(signaturesExist | appendOnly)}
	catalog["Perms"] = types.Dict{"DocMDP": *signatureRef}
	return nil
}

// fillByteRange writes the byte range into its place and returns the two spans
// that it names.
func fillByteRange(pdf []byte, room int) ([][]byte, error) {
	empty := append(append([]byte{'<'}, bytes.Repeat([]byte{'0'}, 2*room)...), '>')
	from := bytes.Index(pdf, empty)
	if from < 0 || bytes.Contains(pdf[from+1:], empty) || len(pdf) > nine {
		return nil, errors.New("sign: the place for the signature is lost")
	}
	to := from + len(empty)
	place := fmt.Appendf(nil, "[0 %d %d %d]", nine, nine, nine)
	at := bytes.Index(pdf, place)
	if at < 0 {
		return nil, errors.New("sign: the place for the byte range is lost")
	}
	numbers := fmt.Sprintf("[0 %d %d %d", from, to, len(pdf)-to)
	copy(pdf[at:], fmt.Sprintf("%-*s]", len(place)-1, numbers))
	return [][]byte{pdf[:from], pdf[to:]}, nil
}

// fillContents writes the signature into its place; what is left of it stays zero.
func fillContents(pdf []byte, from, room int, der []byte) {
	hex.Encode(pdf[from+1:from+1+2*room], der)
}
