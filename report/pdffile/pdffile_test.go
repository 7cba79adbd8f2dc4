package pdffile

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// written is a PDF with the objects given, numbered from 1.
func written(trailer string, objects ...string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	var table strings.Builder
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 1\n0000000000 65535 f \n1 %d\n%strailer\n<</Root 1 0 R/Size %d%s>>\nstartxref\n%d\n%%%%EOF\n", len(objects), table.String(), len(objects)+1, trailer, at)
	return b.Bytes()
}

func packed(content []byte) string {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write(content) // a Buffer takes all
	_ = w.Close()
	return fmt.Sprintf("<</Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream", b.Len(), b.String())
}

func TestReadsWhatIsWritten(t *testing.T) {
	content := "q 0.2 g BT 1 0 0 1 10 20 Td (\x00A\x00 \x01\x7d) Tj ET\n(\x00\\)) Tj Q"
	f, err := Open(written("", "<</Type/Catalog/Pages 2 0 R/A#20B <48 6>>>", "<</Kids[3 0 R]/Count 1>>", "<</Type/Page/Contents 4 0 R>>", packed([]byte(content))))
	require.NoError(t, err)
	root, err := f.Root()
	require.NoError(t, err)
	assert.Equal(t, []byte("H`"), root["A B"].(String).Bytes)
	pages, err := f.Pages()
	require.NoError(t, err)
	require.Len(t, pages, 1)
	drawing, err := f.Drawing(pages[0], 1<<10)
	require.NoError(t, err)
	words, err := Words(drawing)
	require.NoError(t, err)
	assert.Equal(t, []string{"A Ž", ")"}, words[:2])
}

// Examples of strings from ISO 32000-1:2008, 7.3.4.2 (from memory).
func TestLiteralStrings(t *testing.T) {
	for in, want := range map[string]string{
		`(Strings may contain balanced parentheses ( ) and special characters ( * ! & } ^ % and so on ).)`: "Strings may contain balanced parentheses ( ) and special characters ( * ! & } ^ % and so on ).",
		"(These \\\ntwo strings \\\nare the same.)":                                                        "These two strings are the same.",
		`(This string contains \245two octal characters\307.)`:                                             "This string contains \xa5two octal characters\xc7.",
		`(\0053)`:         "\x053",
		`(\53)`:           "+",
		`(a\(b\\c\nd\qe)`: "a(b\\c\ndqe",
	} {
		o, err := (&parser{data: []byte(in)}).object()
		require.NoError(t, err, in)
		assert.Equal(t, want, string(o.(String).Bytes), in)
	}
}

// Bytes that belong to nothing are found wherever they stand: another reader, or one
// that repairs files, might find another document in them.
func TestEveryByteBelongsToAnObject(t *testing.T) {
	plain := string(written("", "<</Type/Catalog>>", "<<>>"))
	f, err := Open([]byte(plain))
	require.NoError(t, err)
	numbers, err := f.Objects()
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2}, numbers)

	const evil = "9 0 obj<</Linearized 1>>endobj "
	// put inserts a text before a place and moves all offsets behind it.
	put := func(before, text string) string {
		at := strings.Index(plain, before)
		out := plain[:at] + text + plain[at:]
		return regexp.MustCompile(`(?m)^(\d{10}) 00000 n|^(\d+)$`).ReplaceAllStringFunc(out, func(number string) string {
			var n int
			_, err := fmt.Sscan(strings.TrimLeft(number[:min(10, len(number))], "0"), &n)
			require.NoError(t, err)
			if n >= at {
				n += len(text)
			}
			if strings.HasSuffix(number, "n") {
				return fmt.Sprintf("%010d 00000 n", n)
			}
			return fmt.Sprint(n)
		})
	}
	for name, test := range map[string]struct{ file, want string }{
		"before the first object": {put("1 0 obj", evil), "before object 1 that belongs to nothing"},
		"between objects":         {put("2 0 obj", evil), "before object 2 that belongs to nothing"},
		"before the table":        {put("xref", evil), "before its table that belongs to nothing"},
		"behind the trailer":      {put("startxref", evil), "something stands behind its trailer"},
		"an object twice":         {strings.Replace(plain, "trailer", "1 1\n0000000015 00000 n \ntrailer", 1), "object 1 has several versions"},
		"a later generation":      {strings.Replace(plain, "00000 n", "00001 n", 1), "object 1 has several versions"},
		"a tail to an object":     {put("endobj\n2 0", "<<>>"), "object 1 does not end where it should"},
	} {
		f, err := Open([]byte(test.file))
		if err == nil {
			_, err = f.Objects()
		}
		assert.ErrorContains(t, err, test.want, name)
	}
}

// allocated is how many bytes a function allocates in all.
func allocated(work func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	work()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// everything reads all there is of a file, and returns the first error.
func everything(data []byte) error {
	f, err := Open(data)
	if err != nil {
		return err
	}
	files, err := f.Attachments()
	if err != nil {
		return err
	}
	for _, s := range files {
		if _, err := f.Inflate(s, 1<<20); err != nil {
			return err
		}
	}
	pages, err := f.Pages()
	if err != nil {
		return err
	}
	for _, p := range pages {
		drawing, err := f.Drawing(p, 1<<20)
		if err != nil {
			return err
		}
		if _, err := Words(drawing); err != nil {
			return err
		}
	}
	return nil
}

// What is hostile is refused in words, with little memory whatever it claims.
func TestHostileFiles(t *testing.T) {
	const page = "<</Type/Page/Contents 4 0 R>>"
	tree := []string{"<</Pages 2 0 R>>", "<</Kids[3 0 R]>>", page}
	with := func(more ...string) []byte { return written("", append(append([]string{}, tree...), more...)...) }
	bomb := packed(make([]byte, 500<<20))
	var overlapping strings.Builder // each object holds all objects behind it in a string
	overlapping.WriteString("%PDF-1.7\n")
	var table strings.Builder
	const many = 20000
	for i := range many {
		fmt.Fprintf(&table, "%010d 00000 n \n", overlapping.Len())
		fmt.Fprintf(&overlapping, "%d 0 obj<</A(", i+1)
	}
	overlapping.WriteString(strings.Repeat(")>>endobj ", many) + "\n")
	at := overlapping.Len()
	fmt.Fprintf(&overlapping, "xref\n1 %d\n%strailer\n<</Root<</Names<</EmbeddedFiles<</Kids[", many, table.String())
	for i := range mostPages {
		fmt.Fprintf(&overlapping, "%d 0 R ", i+1)
	}
	fmt.Fprintf(&overlapping, "]>>>>/Pages 1 0 R>>>>\nstartxref\n%d\n%%%%EOF\n", at)

	for name, test := range map[string]struct {
		file []byte
		want string
	}{
		"nothing":                     {nil, "it does not begin as a PDF"},
		"no PDF":                      {bytes.Repeat([]byte("GIF89a"), 100), "it does not begin as a PDF"},
		"cut":                         {with(packed(nil))[:200], "it does not end as a PDF"},
		"a stream that claims 2 GB":   {with("<</Length 2147483648>>\nstream\nx\nendstream"), "claims more bytes than the file has"},
		"a length that is no number":  {with("<</Length(9)>>\nstream\nx\nendstream"), "claims more bytes than the file has"},
		"a negative length":           {with("<</Length -5>>\nstream\nx\nendstream"), "claims more bytes than the file has"},
		"a length of itself":          {with("<</Length 4 0 R>>\nstream\nx\nendstream"), "refers to itself"},
		"a zip bomb":                  {with(bomb), "longer than its limit of 1048576 bytes"},
		"a filter on a filter":        {with("<</Filter[/FlateDecode/FlateDecode]/Length 1>>\nstream\nx\nendstream"), "packed in an unknown way"},
		"pages in a circle":           {written("", "<</Pages 2 0 R>>", "<</Kids[3 0 R]>>", "<</Kids[2 0 R]>>"), "its pages go in circles"},
		"a page that is its own kid":  {written("", "<</Pages 2 0 R>>", "<</Kids[2 0 R]>>"), "its pages go in circles"},
		"references in a circle":      {written("", "2 0 R", "1 0 R"), "its references go in circles"},
		"attachments in a circle":     {written("", "<</Pages 2 0 R/Names<</EmbeddedFiles 4 0 R>>>>", "<</Kids[3 0 R]>>", page, "<</Kids[4 0 R]>>"), ""},
		"nested without end":          {written("", strings.Repeat("[", 100000)), "nested too deep"},
		"nested dictionaries":         {written("", strings.Repeat("<</A", 100000)), "nested too deep"},
		"an object beyond the end":    {[]byte(strings.Replace(string(with(packed(nil))), "0000000015 ", "9999999999 ", 1)), "lies behind its end"},
		"an object that is elsewhere": {[]byte(strings.Replace(string(with(packed(nil))), "0000000015 ", "0000000016 ", 1)), "is not where the table says"},
		"a revision":                  {written("/Prev 9", "<</Pages 2 0 R>>"), "several revisions or is encrypted"},
		"encrypted":                   {written("/Encrypt 9", "<</Pages 2 0 R>>"), "several revisions or is encrypted"},
		"a table of a billion":        {[]byte("%PDF-1.7\nxref\n0 999999999\ntrailer\n<<>>\nstartxref\n9\n%%EOF\n"), "an entry cannot be read"},
		"objects in each other":       {[]byte(overlapping.String()), "its objects overlap each other"},
	} {
		t.Run(name, func(t *testing.T) {
			var err error
			used := allocated(func() { err = everything(test.file) })
			require.Error(t, err)
			assert.ErrorContains(t, err, test.want)
			assert.Less(t, used, uint64(64<<20+20*len(test.file)), "bytes allocated")
		})
	}
}

// FuzzOpen: no file is read for ever or panics, and the same bytes are read alike.
func FuzzOpen(f *testing.F) {
	f.Add(written("", "<</Type/Catalog/Pages 2 0 R/A#20B <48 6>>>", "<</Kids[3 0 R]/Count 1>>", "<</Type/Page/Contents 4 0 R>>", packed([]byte("BT (\x00A) Tj ET"))))
	f.Add(written("", "<</Pages 2 0 R/Names<</EmbeddedFiles<</Names[(a) 4 0 R]>>>>>>", "<</Kids[3 0 R]>>", "<<>>", "<</UF(a)/EF<</F 5 0 R>>>>", packed([]byte("x"))))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<16 {
			return
		}
		first, second := everything(data), everything(bytes.Clone(data))
		if fmt.Sprint(first) != fmt.Sprint(second) {
			t.Fatalf("%v, then %v", first, second)
		}
	})
}
