package seal

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"loopwitness/report/pdffile"
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

// attach embeds the attachments into the document, where any reader lists them (ISO
// 32000-1, 7.11.4).
func attach(d *pdffile.Objects, c Contents) error {
	sorted := slices.SortedFunc(slices.Values(c.Attachments),
		func(a, b Attachment) int { return strings.Compare(a.Name, b.Name) })
	var names pdffile.Array
	for _, a := range sorted {
		packed, err := packed(a.Content)
		if err != nil {
			return fmt.Errorf("attach %s: %w", a.Name, err)
		}
		file := d.Add(pdffile.Stream{Dict: pdffile.Dict{
			"Type": pdffile.Name("EmbeddedFile"), "Subtype": pdffile.Name(a.Media), "Filter": pdffile.Name("FlateDecode"),
			"Params": pdffile.Dict{"Size": number(len(a.Content)), "CreationDate": date(c.Made), "ModDate": date(c.Made)},
		}, Raw: packed})
		spec := d.Add(pdffile.Dict{
			"Type": pdffile.Name("Filespec"), "F": latin(a.Name), "UF": text(a.Name), "Desc": text(a.Description),
			"EF": pdffile.Dict{"F": file, "UF": file},
		})
		names = append(names, latin(a.Name), spec)
	}
	d.Dict(d.Root)["Names"] = pdffile.Dict{"EmbeddedFiles": pdffile.Dict{"Names": names}}
	return nil
}

func packed(content []byte) ([]byte, error) {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	err := w.Close()
	return b.Bytes(), err
}

func number(n int) pdffile.Number { return pdffile.Number(fmt.Sprint(n)) }

// latin is a string of letters that every encoding shares.
func latin(s string) pdffile.String { return pdffile.String{Bytes: []byte(s)} }

// text is a text string (ISO 32000-1, 7.9.2.2): UTF-16 with its mark.
func text(s string) pdffile.String {
	out := []byte{0xfe, 0xff}
	for _, unit := range utf16.Encode([]rune(s)) {
		out = append(out, byte(unit>>8), byte(unit))
	}
	return pdffile.String{Bytes: out}
}

// date is a time as PDFs write it (ISO 32000-1, 7.9.4).
func date(t time.Time) pdffile.String { return latin(t.UTC().Format("D:20060102150405Z")) }
