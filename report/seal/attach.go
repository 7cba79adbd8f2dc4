package seal

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"sync"
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
	// Packed is Content as a file has it that is checked: it is not packed again. Nil for none.
	Packed []byte
}

// attach embeds the attachments into the document, where any reader lists them (ISO
// 32000-1, 7.11.4), and says of each how it belongs to the document as a whole (ISO 32000-2,
// 14.13).
func attach(d *pdffile.Objects, c Contents) {
	sorted := slices.SortedFunc(slices.Values(c.Attachments),
		func(a, b Attachment) int { return strings.Compare(a.Name, b.Name) })
	streams := make([]pdffile.Stream, len(sorted))
	var packing sync.WaitGroup // a large record takes as long to pack as to lay out
	for i, a := range sorted {
		packing.Go(func() { streams[i] = a.stream(c.Made) })
	}
	packing.Wait()
	var names, specs pdffile.Array
	for i, a := range sorted {
		file := d.Add(streams[i])
		spec := d.Add(pdffile.Dict{
			"Type": pdffile.Name("Filespec"), "F": latin(a.Name), "UF": text(a.Name), "Desc": text(a.Description),
			"EF": pdffile.Dict{"F": file, "UF": file}, "AFRelationship": relation(a.Name),
		})
		specs = append(specs, spec)
		names = append(names, latin(a.Name), spec)
	}
	d.Dict(d.Root)["Names"] = pdffile.Dict{"EmbeddedFiles": pdffile.Dict{"Names": names}}
	d.Dict(d.Root)["AF"] = specs
	d.ID = identifier(sorted)
}

func (a Attachment) stream(made time.Time) pdffile.Stream {
	of := pdffile.Dict{"Type": pdffile.Name("EmbeddedFile"), "Subtype": pdffile.Name(a.Media),
		"Params": pdffile.Dict{"Size": number(len(a.Content)), "CreationDate": date(made), "ModDate": date(made)}}
	if a.Packed == nil {
		return pdffile.Packed(of, a.Content)
	}
	of["Filter"] = pdffile.Name("FlateDecode")
	return pdffile.Stream{Dict: of, Raw: a.Packed}
}

// relation says what an attachment is to the pages (ISO 32000-2, 7.11.3, AFRelationship): the
// journal is what they were made from, certificate.json the same as data.
func relation(name string) pdffile.Name {
	switch name {
	case JournalName:
		return "Source"
	case StatementName:
		return "Data"
	}
	return "Supplement"
}

// identifier tells a file from any other of another record or making, by what is attached. It
// does not depend on how that was packed.
func identifier(sorted []Attachment) []byte {
	const length = 16 // bytes, as files have them
	all := sha256.New()
	for _, a := range sorted {
		fmt.Fprintf(all, "%d %s %x\n", len(a.Name), a.Name, sha256.Sum256(a.Content))
	}
	return all.Sum(nil)[:length]
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
