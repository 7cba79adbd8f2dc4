package pdffile

import (
	"errors"
	"fmt"
	"unicode/utf16"
)

// mostPages is how many pages are read of one file.
const mostPages = 5000

// Root is the document's catalogue.
func (f *File) Root() (Dict, error) { return f.Dict(f.Trailer["Root"]) }

// Pages are the document's pages in their order.
func (f *File) Pages() ([]Dict, error) {
	root, err := f.Root()
	if err != nil {
		return nil, err
	}
	var out []Dict
	return out, f.walk(root["Pages"], map[Ref]bool{}, &out)
}

func (f *File) walk(node Object, seen map[Ref]bool, out *[]Dict) error {
	ref, is := node.(Ref)
	if !is || seen[ref] {
		return fmt.Errorf("%w: its pages go in circles", ErrNotRead)
	}
	seen[ref] = true
	d, err := f.Dict(ref)
	if err != nil {
		return err
	}
	if d["Kids"] == nil {
		if *out = append(*out, d); len(*out) > mostPages {
			return fmt.Errorf("%w: it has more than %d pages", ErrNotRead, mostPages)
		}
		return nil
	}
	kids, err := f.Resolve(d["Kids"])
	if err != nil {
		return err
	}
	list, ok := kids.(Array)
	if !ok {
		return fmt.Errorf("%w: its pages cannot be found", ErrNotRead)
	}
	for _, kid := range list {
		if len(seen) > 2*mostPages {
			return fmt.Errorf("%w: it has more than %d pages", ErrNotRead, mostPages)
		}
		if err := f.walk(kid, seen, out); err != nil {
			return err
		}
	}
	return nil
}

// Content is what a page draws: the content of its one stream, at most limit bytes.
func (f *File) Content(page Dict, limit int) ([]byte, error) {
	o, err := f.Resolve(page["Contents"])
	if err != nil {
		return nil, err
	}
	if a, is := o.(Array); is && len(a) == 1 {
		if o, err = f.Resolve(a[0]); err != nil {
			return nil, err
		}
	}
	s, ok := o.(Stream)
	if !ok {
		return nil, fmt.Errorf("%w: a page has no content", ErrNotRead)
	}
	return f.Inflate(s, limit)
}

// Words are the texts that a drawing shows, in the order in which they are drawn, at
// most a number of them. Texts are UTF-16, as this tool writes them.
func Words(drawing []byte, atMost int) ([]string, error) {
	p := &parser{data: drawing}
	var out []string
	var last String
	for len(out) < atMost {
		o, err := p.object()
		switch o := o.(type) {
		case String:
			last = o
		case keyword:
			if o == "Tj" {
				out = append(out, fromUTF16(last.Bytes))
			}
		}
		if errors.Is(err, errEnd) {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w: a page: %w", ErrNotRead, err)
		}
	}
	return out, nil
}

func fromUTF16(b []byte) string {
	units := make([]uint16, 0, len(b)/2)
	for i := 0; i+1 < len(b); i += 2 {
		units = append(units, uint16(b[i])<<8|uint16(b[i+1]))
	}
	return string(utf16.Decode(units))
}

// Attachments are the embedded files by their names. Their content is not inflated.
func (f *File) Attachments() (map[string]Stream, error) {
	root, err := f.Root()
	if err != nil {
		return nil, err
	}
	if root["Names"] == nil {
		return nil, nil
	}
	names, err := f.Dict(root["Names"])
	if err != nil || names["EmbeddedFiles"] == nil {
		return nil, err
	}
	out := map[string]Stream{}
	return out, f.nameTree(names["EmbeddedFiles"], out)
}

// nameTree gathers the files of a name tree (ISO 32000-1, 7.9.6) that is one node, as
// this tool writes it.
func (f *File) nameTree(node Object, out map[string]Stream) error {
	d, err := f.Dict(node)
	if err != nil {
		return err
	}
	list, ok := d["Names"].(Array)
	if !ok || d["Kids"] != nil || len(list) > mostPages {
		return fmt.Errorf("%w: its attachments are not listed as they should be", ErrNotRead)
	}
	for i := 0; i+1 < len(list); i += 2 {
		if err := f.attachment(list[i+1], out); err != nil {
			return err
		}
	}
	return nil
}

func (f *File) attachment(o Object, out map[string]Stream) error {
	spec, err := f.Dict(o)
	if err != nil {
		return err
	}
	name, ok := spec["UF"].(String)
	if !ok {
		return fmt.Errorf("%w: an attachment has no name", ErrNotRead)
	}
	files, err := f.Dict(spec["EF"])
	if err != nil {
		return err
	}
	content, err := f.Resolve(files["F"])
	if err != nil {
		return err
	}
	s, ok := content.(Stream)
	if !ok {
		return fmt.Errorf("%w: an attachment has no content", ErrNotRead)
	}
	text := Text(name)
	if _, twice := out[text]; twice {
		return fmt.Errorf("%w: it has two attachments called %q", ErrNotRead, text)
	}
	out[text] = s
	return nil
}

// Text is a text string of the document: UTF-16 with its mark, else taken as Latin.
func Text(s String) string {
	if len(s.Bytes) >= 2 && s.Bytes[0] == 0xfe && s.Bytes[1] == 0xff {
		return fromUTF16(s.Bytes[2:])
	}
	out := make([]rune, len(s.Bytes))
	for i, c := range s.Bytes {
		out[i] = rune(c)
	}
	return string(out)
}
