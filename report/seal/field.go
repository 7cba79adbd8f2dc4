package seal

import (
	"bytes"
	"encoding/hex"
	"errors"
	"strings"
	"time"

	"loopwitness/report/pdffile"
)

// addSignatureField gives the document a signature field without a place on the
// pages, whose signature certifies the whole and allows no change. It returns the
// signature's dictionary.
func addSignatureField(d *pdffile.Objects, at time.Time, room int, signer string) (pdffile.Dict, error) {
	signature := pdffile.Dict{
		"Type":      pdffile.Name("Sig"),
		"Filter":    pdffile.Name("Adobe.PPKLite"), // the handler that ISO 32000-1 gives as its example
		"SubFilter": pdffile.Name("adbe.pkcs7.detached"),
		"ByteRange": pdffile.Array{number(0), number(0), number(0), number(0)},
		"Contents":  pdffile.String{Bytes: make([]byte, room)},
		"M":         date(at),
		"Reason":    text("The record of a walk-test and the certificate made from it"),
		"Name":      text(signer),
		"Reference": pdffile.Array{pdffile.Dict{
			"Type":            pdffile.Name("SigRef"),
			"TransformMethod": pdffile.Name("DocMDP"),
			"TransformParams": pdffile.Dict{"Type": pdffile.Name("TransformParams"), "P": number(1), "V": pdffile.Name("1.2")},
		}},
	}
	catalog := d.Dict(d.Root)
	kids, _ := d.Dict(catalog["Pages"])["Kids"].(pdffile.Array)
	if len(kids) == 0 || d.Dict(kids[0]) == nil {
		return nil, errors.New("sign: the document has no page")
	}
	const print, locked = 1 << 2, 1 << 7
	value := d.Add(signature)
	field := d.Add(pdffile.Dict{
		"Type": pdffile.Name(
			"Annot",
		), "Subtype": pdffile.Name("Widget"), "FT": pdffile.Name("Sig"), "T": latin("Seal"), "V": value, "P": kids[0],
		"F": number(print | locked), "Rect": pdffile.Array{number(0), number(0), number(0), number(0)},
	})
	d.Dict(kids[0])["Annots"] = pdffile.Array{field}
	const signaturesExist, appendOnly = 1, 2
	catalog["AcroForm"] = pdffile.Dict{"Fields": pdffile.Array{field}, "SigFlags": number(signaturesExist | appendOnly)}
	catalog["Perms"] = pdffile.Dict{"DocMDP": value}
	return signature, nil
}

// place is where the signature stands in a file.
type place struct{ from, to int }

// written writes the document with the byte range of its signature. The range's own
// length moves what stands behind it, so it is written until it fits.
func written(d *pdffile.Objects, signature pdffile.Dict, room int) ([]byte, place, error) {
	empty := []byte("/Contents <" + strings.Repeat("00", room) + ">")
	for range 8 {
		pdf := d.Bytes()
		at := bytes.Index(pdf, empty)
		if at < 0 || bytes.Contains(pdf[at+1:], empty) {
			return nil, place{}, errors.New("sign: the place for the signature is lost")
		}
		p := place{at + len("/Contents "), at + len(empty)}
		wanted := pdffile.Array{number(0), number(p.from), number(p.to), number(len(pdf) - p.to)}
		fits := true
		for i, n := range signature["ByteRange"].(pdffile.Array) {
			fits = fits && n == wanted[i]
		}
		if fits {
			return pdf, p, nil
		}
		signature["ByteRange"] = wanted
	}
	return nil, place{}, errors.New("sign: the byte range does not settle")
}

// fill writes the signature into its place; what is left of it stays zero.
func (p place) fill(pdf, der []byte) {
	hex.Encode(pdf[p.from+1:p.to-1], der)
}
