package pdffile

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Objects is what can be reached of a PDF, to be changed and written.
//
// It is written in one form only: each object once, numbered in the order in which it
// is met from the catalogue, keys sorted, strings in hexadecimal, nothing between the
// objects. A file that says the same in another form is thus told from one that was
// written here; whoever checks a file demands this form, so that no other reader can
// find another document in the same bytes.
type Objects struct {
	objects map[Ref]Object
	next    Ref
	Root    Ref
	Info    Ref
	ID      []byte // what tells the file from others (ISO 32000-1, 14.4); nil for none
}

// Objects loads all that can be reached.
func (f *File) Objects() (*Objects, error) {
	root, okRoot := f.Trailer["Root"].(Ref)
	info, okInfo := f.Trailer["Info"].(Ref)
	if !okRoot || !okInfo {
		return nil, fmt.Errorf("%w: it has no catalogue or no information", ErrNotRead)
	}
	d := &Objects{objects: map[Ref]Object{}, Root: root, Info: info, ID: f.id()}
	for queue := []Ref{root, info}; len(queue) > 0; queue = queue[1:] {
		ref := queue[0]
		if _, there := d.objects[ref]; there {
			continue
		}
		o, err := f.Get(int(ref))
		if err != nil {
			return nil, err
		}
		d.objects[ref] = o
		d.next = max(d.next, ref+1)
		queue = append(queue, refsIn(o)...)
	}
	return d, nil
}

// id is the identifier of a file that was written once and never changed: both of its
// parts are the same. Nil for any other.
func (f *File) id() []byte {
	both, _ := f.Trailer["ID"].(Array)
	if len(both) != 2 {
		return nil
	}
	first, _ := both[0].(String)
	second, _ := both[1].(String)
	if !bytes.Equal(first.Bytes, second.Bytes) {
		return nil
	}
	return first.Bytes
}

// From is the document of objects as Numbered gives them, with that ID.
func From(numbered []Object, id []byte) *Objects {
	d := &Objects{objects: map[Ref]Object{}, Root: 1, Info: 2, next: Ref(len(numbered) + 1), ID: id}
	for i, o := range numbered {
		d.objects[Ref(i+1)] = o
	}
	return d
}

// refsIn are the references in an object, in the order in which it is written.
func refsIn(o Object) []Ref {
	switch o := o.(type) {
	case Ref:
		return []Ref{o}
	case Array:
		var out []Ref
		for _, e := range o {
			out = append(out, refsIn(e)...)
		}
		return out
	case Dict:
		var out []Ref
		for _, k := range slices.Sorted(maps.Keys(o)) {
			out = append(out, refsIn(o[k])...)
		}
		return out
	case Stream:
		return refsIn(withoutLength(o.Dict))
	}
	return nil
}

func withoutLength(d Dict) Dict {
	out := maps.Clone(d)
	delete(out, "Length") // it is written from the bytes
	return out
}

// Add takes a further object.
func (d *Objects) Add(o Object) Ref {
	ref := d.next
	d.objects[ref] = o
	d.next++
	return ref
}

// Dict is the dictionary behind a reference, to be changed; nil if it is none.
func (d *Objects) Dict(o Object) Dict {
	if ref, is := o.(Ref); is {
		o = d.objects[ref]
	}
	dict, _ := o.(Dict)
	return dict
}

// Get is the object behind a reference, nil if there is none.
func (d *Objects) Get(ref Ref) Object { return d.objects[ref] }

// Set puts an object in the place of another.
func (d *Objects) Set(ref Ref, o Object) { d.objects[ref] = o }

// Each calls do with every object, in the order of their numbers.
func (d *Objects) Each(do func(Ref, Object)) {
	for _, ref := range slices.Sorted(maps.Keys(d.objects)) {
		do(ref, d.objects[ref])
	}
}

// Draw adds operators behind what a page draws, counted from 0. The content of pages as
// the library writes them is not packed.
func (d *Objects) Draw(page int, operators []byte) error {
	root := d.Dict(d.Root)
	tree := d.Dict(root["Pages"])
	kids, _ := tree["Kids"].(Array)
	if page < 0 || page >= len(kids) {
		return fmt.Errorf("%w: it has no page %d", ErrNotRead, page+1)
	}
	ref, _ := d.Dict(kids[page])["Contents"].(Ref)
	content, is := d.objects[ref].(Stream)
	if !is || content.Dict["Filter"] != nil {
		return fmt.Errorf("%w: page %d cannot be drawn on", ErrNotRead, page+1)
	}
	d.objects[ref] = Stream{content.Dict, slices.Concat(content.Raw, operators)}
	return nil
}

// Numbered are the objects as they are written: the first is number 1. References
// name them by these numbers.
func (d *Objects) Numbered() []Object {
	order := []Ref{d.Root, d.Info}
	number := map[Ref]Ref{d.Root: 1, d.Info: 2}
	for i := 0; i < len(order); i++ {
		for _, ref := range refsIn(d.objects[order[i]]) {
			if number[ref] == 0 {
				order = append(order, ref)
				number[ref] = Ref(len(order))
			}
		}
	}
	out := make([]Object, len(order))
	for i, ref := range order {
		out[i] = renumbered(d.objects[ref], number)
	}
	return out
}

func renumbered(o Object, number map[Ref]Ref) Object {
	switch o := o.(type) {
	case Ref:
		return number[o]
	case Array:
		out := make(Array, len(o))
		for i := range o {
			out[i] = renumbered(o[i], number)
		}
		return out
	case Dict:
		out := make(Dict, len(o))
		for k, v := range o {
			out[k] = renumbered(v, number)
		}
		return out
	case Stream:
		return Stream{renumbered(withoutLength(o.Dict), number).(Dict), o.Raw}
	}
	return o
}

// Bytes is the document as a file.
func (d *Objects) Bytes() []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	objects := d.Numbered()
	room := 1 << 16
	for _, o := range objects {
		if s, is := o.(Stream); is {
			room += len(s.Raw)
		}
	}
	b.Grow(room)
	var table strings.Builder
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n", i+1)
		write(&b, o)
		b.WriteString("\nendobj\n")
	}
	at := b.Len()
	id := ""
	if d.ID != nil {
		id = fmt.Sprintf("/ID [<%x> <%[1]x>]", d.ID)
	}
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n%s", len(objects)+1, table.String())
	fmt.Fprintf(&b, "trailer\n<<%s/Info 2 0 R/Root 1 0 R/Size %d>>\nstartxref\n%d\n%%%%EOF\n", id, len(objects)+1, at)
	return b.Bytes()
}

func write(b *bytes.Buffer, o Object) {
	switch o := o.(type) {
	case nil:
		b.WriteString("null")
	case bool:
		b.WriteString(strconv.FormatBool(o))
	case Number:
		b.WriteString(o.plain())
	case Name:
		writeName(b, o)
	case String:
		fmt.Fprintf(b, "<%x>", o.Bytes)
	case Ref:
		fmt.Fprintf(b, "%d 0 R", o)
	case Array:
		b.WriteByte('[')
		for i, e := range o {
			if i > 0 {
				b.WriteByte(' ')
			}
			write(b, e)
		}
		b.WriteByte(']')
	case Dict:
		writeDict(b, o)
	case Stream:
		dict := maps.Clone(o.Dict)
		dict["Length"] = Number(strconv.Itoa(len(o.Raw)))
		writeDict(b, dict)
		b.WriteString("\nstream\n")
		b.Write(o.Raw)
		b.WriteString("\nendstream")
	}
}

func writeDict(b *bytes.Buffer, d Dict) {
	b.WriteString("<<")
	for _, k := range slices.Sorted(maps.Keys(d)) {
		writeName(b, k)
		b.WriteByte(' ')
		write(b, d[k])
	}
	b.WriteString(">>")
}

// writeName escapes all that is no letter, digit or one of a few marks.
func writeName(b *bytes.Buffer, n Name) {
	b.WriteByte('/')
	for i := range len(n) {
		c := n[i]
		if c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || strings.IndexByte("._-+", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(b, "#%02x", c)
		}
	}
}

// plain is a number in the one form in which it is written.
func (n Number) plain() string {
	if i, ok := n.Int(); ok {
		return strconv.Itoa(i)
	}
	v, err := strconv.ParseFloat(string(n), 64)
	if err != nil {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Float is the value of a number, false for what is none.
func Float(o Object) (float64, bool) {
	n, is := o.(Number)
	v, err := strconv.ParseFloat(string(n), 64)
	return v, is && err == nil
}
