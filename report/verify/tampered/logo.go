package tampered

import (
	"bytes"
	"compress/zlib"
	"io"
	"maps"
	"regexp"
	"strconv"
	"strings"

	"loopwitness/report/pdffile"
)

// clip begins what is drawn of a logo of shapes; clipped is all of one.
const clip = "h\nW n\n[] 0 d\n"

var (
	clipped    = regexp.MustCompile(`(?s)q\n[^q]*?h\nW n\n\[\] 0 d\n.*?\nQ\n`)
	firstPoint = regexp.MustCompile(`^q\n(\d+)\.`)
)

// ofLogo are changes of a logo of shapes: to be made where a page has one.
var ofLogo = map[string]func(content string) string{
	"a logo taken away": func(s string) string { return strings.Replace(s, clipped.FindString(s), "", 1) },
	"a logo twice":      func(s string) string { return s + "q\n1 0 0 1 -200 -40 cm\n" + clipped.FindString(s) + "Q\n" },
	"a logo elsewhere": func(s string) string {
		logo := clipped.FindString(s)
		return strings.Replace(s, logo, "q\n1 0 0 1 9 0 cm\n"+logo+"Q\n", 1)
	},
	"a logo that is not cut":  func(s string) string { return strings.Replace(s, clip, "h\nn\n[] 0 d\n", 1) },
	"a logo of other colours": func(s string) string { return strings.Replace(s, clip, clip+"1 0 0 rg\n", 1) },
	"a logo moved by a point": func(s string) string {
		logo := clipped.FindString(s)
		m := firstPoint.FindStringSubmatch(logo)
		return strings.Replace(s, logo, strings.Replace(logo, m[1]+".", "1"+m[1]+".", 1), 1)
	},
}

// logoChanged are the changes for a file of objects that has a logo, of shapes or as a picture.
func logoChanged(n []pdffile.Object) map[string]func([]pdffile.Object) []pdffile.Object {
	all := map[string]func([]pdffile.Object) []pdffile.Object{}
	for i, o := range n {
		s, is := o.(pdffile.Stream)
		if !is || s.Dict["Filter"] != nil && s.Dict["Filter"] != pdffile.Name("FlateDecode") {
			continue
		}
		content := unpacked(s)
		picture := s.Dict["Subtype"] == pdffile.Name("Image") && s.Dict["ColorSpace"] == pdffile.Name("DeviceRGB")
		with := func(changed string) func([]pdffile.Object) []pdffile.Object {
			return func(n []pdffile.Object) []pdffile.Object {
				n[i] = packed(n[i].(pdffile.Stream), changed)
				return n
			}
		}
		switch {
		case picture:
			all["a pixel of the logo"] = with(content[:len(content)-1] + string(255-content[len(content)-1]))
			all["a logo in white"] = with(strings.Repeat("\xff", len(content)))
		case s.Dict["Type"] == nil && strings.Contains(content, clip):
			for name, change := range ofLogo {
				all[name] = with(change(content))
			}
		}
	}
	return all
}

// unpacked is what a stream holds, packed or not.
func unpacked(s pdffile.Stream) string {
	if s.Dict["Filter"] == nil {
		return string(s.Raw)
	}
	r, err := zlib.NewReader(bytes.NewReader(s.Raw))
	if err != nil {
		return ""
	}
	all, err := io.ReadAll(r)
	if err != nil {
		return ""
	}
	return string(all)
}

// packed is a stream with another content, packed as it was.
func packed(s pdffile.Stream, content string) pdffile.Stream {
	if s.Dict["Filter"] == nil {
		return pdffile.Stream{Dict: s.Dict, Raw: []byte(content)}
	}
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write([]byte(content)) // into memory
	_ = w.Close()
	dict := maps.Clone(s.Dict)
	if dict["Length"] != nil {
		dict["Length"] = number(strconv.Itoa(b.Len()))
	}
	return pdffile.Stream{Dict: dict, Raw: b.Bytes()}
}
