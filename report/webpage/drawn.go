package webpage

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

// signature is a box; Drawn says that somebody signed in it, and is "" where nobody did.
type signature struct {
	certificate.Signature
	Drawn   string
	Picture template.URL
	Box     string // of the lines that were drawn, as SVG has it
	Path    string
}

func (w writer) signatures(all certificate.Signatures) (out []signature) {
	for _, s := range all {
		in := signature{Signature: s}
		switch {
		case s.Strokes != nil:
			in.Drawn = w.say(words.WebDrawn{Name: s.Name})
			in.Box, in.Path = strokes(s.Strokes)
		case s.Drawing != nil:
			in.Drawn = w.say(words.WebDrawn{Name: s.Name, Picture: true})
			in.Picture = data("image/png", s.Drawing)
		}
		out = append(out, in)
	}
	return out
}

// strokes are the lines of a signature as a path of SVG, and the sheet on which they were drawn.
func strokes(s *record.Strokes) (box, path string) {
	var b strings.Builder
	for _, line := range s.Lines {
		for i := 0; i+1 < len(line); i += 2 {
			command := 'L'
			if i == 0 {
				command = 'M'
			}
			fmt.Fprintf(&b, "%c%d %d", command, line[i], line[i+1])
		}
		if len(line) == 2 {
			b.WriteString("h0") // a dot: its round ends
		}
	}
	return fmt.Sprintf("0 0 %d %d", s.Width, s.Height), b.String()
}

// data is a picture in the page itself.
func data(media string, content []byte) template.URL {
	return template.URL("data:" + media + ";base64," + base64.StdEncoding.EncodeToString(content)) //nolint:gosec // ours
}

type picture struct {
	certificate.Picture
	Source template.URL
	Alt    string
}

func (w writer) pictures(all certificate.Pictures) (out []picture) {
	for _, p := range all {
		in := picture{Picture: p}
		if p.Image != nil {
			in.Source, in.Alt = data("image/jpeg", p.Image), w.say(words.WebPhotograph{Title: p.Title})
		}
		out = append(out, in)
	}
	return out
}
