package verify

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"time"

	"loopwitness/report/pdffile"
)

// place is where a signature stands in a file: the two spans that it covers, and
// between them its own place.
type place struct{ firstEnd, secondBegin, end int }

var byteRanges = regexp.MustCompile(`/ByteRange\s*\[\s*(\d{1,9})\s+(\d{1,9})\s+(\d{1,9})\s+(\d{1,9})\s*\]`)

// errUnsigned says that the file has no signature.
var errUnsigned = errors.New("it is not signed")

// findSignature finds the one signature that a certificate has, in the bytes of the
// file, whatever its structure may be.
func findSignature(file []byte) (place, error) {
	const enough = 3
	all := byteRanges.FindAllSubmatch(file, enough)
	switch {
	case len(all) == 0 && bytes.Contains(file, []byte("/ByteRange")):
		return place{}, errors.New("the range that its signature covers cannot be read")
	case len(all) == 0:
		return place{}, errUnsigned
	case len(all) > 1:
		return place{}, fmt.Errorf("it has more than one signature; a certificate has one, made last")
	}
	var n [4]int
	for i := range n {
		n[i], _ = strconv.Atoi(string(all[0][i+1])) // at most nine digits
	}
	p := place{n[1], n[2], n[2] + n[3]}
	if n[0] != 0 || p.firstEnd < 1 || p.firstEnd >= p.secondBegin {
		return place{}, errors.New("its signature does not cover all of it")
	}
	return p, nil
}

// maxContents is the longest signature that is looked at, in bytes.
const maxContents = 256 << 10

// contents is the signature itself. Its place has to be exactly a hexadecimal
// string, filled up with zeros.
func (p place) contents(file []byte) ([]byte, error) {
	gap := file[p.firstEnd:p.secondBegin]
	if len(gap) < 4 || len(gap) > 2*maxContents || gap[0] != '<' || gap[len(gap)-1] != '>' {
		return nil, errors.New("the place of its signature holds something else")
	}
	digits := gap[1 : len(gap)-1]
	raw := make([]byte, len(digits)/2)
	if _, err := hex.Decode(raw, digits); err != nil || len(digits)%2 == 1 {
		return nil, errors.New("the place of its signature holds something else")
	}
	if again := hex.EncodeToString(raw); again != string(digits) {
		return nil, errors.New("its signature is written in another way than this tool writes it")
	}
	n, err := derLength(raw)
	if err != nil {
		return nil, err
	}
	if len(bytes.Trim(raw[n:], "\x00")) > 0 {
		return nil, errors.New("something was written behind its signature, where nothing may stand")
	}
	return raw[:n], nil
}

// derLength is how long the outermost element of DER is, with its head.
func derLength(raw []byte) (int, error) {
	unreadable := errors.New("its signature cannot be read")
	if len(raw) < 2 {
		return 0, unreadable
	}
	n, head := int(raw[1]), 2
	if n >= 0x80 {
		digits := n & 0x7f
		if digits < 1 || digits > 3 || len(raw) < 2+digits {
			return 0, unreadable
		}
		n = 0
		for _, b := range raw[2 : 2+digits] {
			n = n<<8 | int(b)
		}
		head += digits
	}
	if head+n > len(raw) {
		return 0, unreadable
	}
	return head + n, nil
}

// checkSignature checks the signature over the whole file. The file may be longer
// than what was signed; the caller has told that. errChanged: the signature is one,
// but the file was changed.
func checkSignature(file []byte, p place) (*signature, error) {
	der, err := p.contents(file)
	if err != nil {
		return nil, err
	}
	content := make([]byte, 0, p.end)
	content = append(append(content, file[:p.firstEnd]...), file[p.secondBegin:p.end]...)
	return checkCMS(der, content)
}

// certifies tells whether the structure of the file agrees with what was found in its
// bytes: one field, whose signature stands there and allows no change.
func certifies(f *pdffile.File, p place) error {
	root, err := f.Root()
	if err != nil {
		return err
	}
	form, err := f.Dict(root["AcroForm"])
	if err != nil {
		return err
	}
	fields, _ := form["Fields"].(pdffile.Array)
	if len(fields) != 1 {
		return errors.New("its form does not have exactly one field")
	}
	field, err := f.Dict(fields[0])
	if err != nil {
		return err
	}
	perms, err := f.Dict(root["Perms"])
	if err != nil {
		return err
	}
	if field["FT"] != pdffile.Name("Sig") || perms["DocMDP"] == nil || perms["DocMDP"] != field["V"] {
		return errors.New("its signature does not certify the document")
	}
	s, err := f.Dict(field["V"])
	if err != nil {
		return err
	}
	var ranges [4]int
	for i, n := range arrayOf(s["ByteRange"], len(ranges)) {
		number, _ := n.(pdffile.Number)
		ranges[i], _ = number.Int()
	}
	if ranges != [4]int{0, p.firstEnd, p.secondBegin, p.end - p.secondBegin} {
		return errors.New("its signature covers another range than was found")
	}
	contents, ok := s["Contents"].(pdffile.String)
	if !ok || contents.At != p.firstEnd || contents.End != p.secondBegin {
		return errors.New("its signature stands in another place than it says")
	}
	return nil
}

// arrayOf is an array of that length, else an empty one.
func arrayOf(o pdffile.Object, length int) pdffile.Array {
	a, _ := o.(pdffile.Array)
	if len(a) != length {
		return nil
	}
	return a
}

// wellKept tells whether a certificate was valid at a time when it signed.
func wellKept(s *signature, at time.Time) error {
	if at.Before(s.signer.NotBefore) || at.After(s.signer.NotAfter) {
		return fmt.Errorf("its certificate was valid from %s to %s, and it was signed on %s", day(s.signer.NotBefore),
			day(s.signer.NotAfter), day(at))
	}
	return nil
}
