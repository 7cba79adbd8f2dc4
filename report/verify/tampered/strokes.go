package tampered

import (
	"fmt"
	"regexp"
	"strings"

	"loopwitness/report/pdffile"
)

// pen begins what is drawn of a signature in lines; penned is all of one.
const pen = "\nq\n0.90 w 1 J 1 j\n"

var (
	penned  = regexp.MustCompile(`\nq\n0\.90 w 1 J 1 j\n[^q]*?\nQ\n`)
	strokes = regexp.MustCompile(`(?m)^(\d+)\.(\d\d) (\d+)\.(\d\d) ([ml])$`)
)

// ofStrokes are changes of signatures that were drawn on glass: to be made where a page has
// any.
var ofStrokes = map[string]func(content string) string{
	"a signature taken away": func(s string) string { return exchangedFirst(s, "\n") },
	"a signature twice": func(s string) string {
		first := penned.FindString(s)
		return s + strings.Replace(first, "RG\n", "RG\n1 0 0 1 0 40 cm\n", 1)
	},
	"a signature elsewhere": func(s string) string {
		return strings.Replace(s, pen+"0.133 0.149 0.169 RG\n", pen+"0.133 0.149 0.169 RG\n1 0 0 1 200 0 cm\n", 1)
	},
	"a signature moved by a point": func(s string) string {
		return exchangedFirst(s, strokes.ReplaceAllStringFunc(penned.FindString(s), func(at string) string {
			m := strokes.FindStringSubmatch(at)
			x := 0
			fmt.Sscan(m[1], &x)
			return fmt.Sprintf("%d.%s %s.%s %s", x+1, m[2], m[3], m[4], m[5])
		}))
	},
	"a signature in white":       func(s string) string { return strings.Replace(s, "0.133 0.149 0.169 RG", "1.000 1.000 1.000 RG", 1) },
	"a signature in thick lines": func(s string) string { return strings.Replace(s, "0.90 w 1 J", "9.00 w 1 J", 1) },
	"a line less in a signature": func(s string) string { return strings.Replace(s, "S\nQ\n", "n\nQ\n", 1) },
	"signatures exchanged": func(s string) string {
		all := penned.FindAllString(s, -1)
		if len(all) < 2 {
			return ""
		}
		return exchangedFirst(s, all[1])
	},
}

func exchangedFirst(s, with string) string {
	return strings.Replace(s, penned.FindString(s), with, 1)
}

// strokesChanged are the changes for a file of objects that has such signatures.
func strokesChanged(n []pdffile.Object) map[string]func([]pdffile.Object) []pdffile.Object {
	all := map[string]func([]pdffile.Object) []pdffile.Object{}
	for i, o := range n {
		s, is := o.(pdffile.Stream)
		if !is || s.Dict["Type"] != nil || s.Dict["Subtype"] != nil || !strings.Contains(unpacked(s), pen) {
			continue
		}
		for name, change := range ofStrokes {
			all[name] = func(n []pdffile.Object) []pdffile.Object { return changed(n, i, change) }
		}
		return all
	}
	return all
}
