package certificate

import (
	"bytes"
	"regexp"
)

var pictureName = regexp.MustCompile(`/I[0-9a-f]{40} \d+ 0 R`)

// onceNamed repairs what the library writes where two pictures are alike: it names them by
// their hash, and puts that name into the dictionary of pictures twice (ISO 32000-1, 7.3.7
// allows no key twice). The second name is written over with blanks, so that nothing moves;
// both places on the pages show the first picture, which is the same.
func onceNamed(pdf []byte) []byte {
	head := []byte("\n/XObject <<\n")
	from := bytes.LastIndex(pdf, head)
	if from < 0 {
		return pdf
	}
	from += len(head)
	length := bytes.Index(pdf[from:], []byte(">>"))
	if length < 0 {
		return pdf
	}
	seen := map[string]bool{}
	for _, at := range pictureName.FindAllIndex(pdf[from:from+length], -1) {
		entry := pdf[from+at[0] : from+at[1]]
		name, _, _ := bytes.Cut(entry, []byte(" "))
		if seen[string(name)] {
			copy(entry, bytes.Repeat([]byte(" "), len(entry)))
			continue
		}
		seen[string(name)] = true
	}
	return pdf
}
