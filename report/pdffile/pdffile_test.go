package pdffile

import (
	"bytes"
	"compress/zlib"
	"fmt"
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
	fmt.Fprintf(&b,
		"xref\n0 1\n0000000000 65535 f \n1 %d\n%strailer\n<</Root 1 0 R/Size %d%s>>\nstartxref\n%d\n%%%%EOF\n",
		len(objects), table.String(), len(objects)+1, trailer, at)
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
	f, err := Open(
		written("", "<</Type/Catalog/Pages 2 0 R/A#20B <48 6>>>", "<</Kids[3 0 R]/Count 1>>",
			"<</Type/Page/Contents 4 0 R>>", packed([]byte(content))),
	)
	require.NoError(t, err)
	root, err := f.Root()
	require.NoError(t, err)
	assert.Equal(t, []byte("H`"), root["A B"].(String).Bytes)
	pages, err := f.Pages()
	require.NoError(t, err)
	require.Len(t, pages, 1)
	drawing, err := f.Content(pages[0], 1<<10)
	require.NoError(t, err)
	words, err := Words(drawing, 1<<20)
	require.NoError(t, err)
	assert.Equal(t, []string{"A Ž", ")"}, words[:2])
}

// Examples of strings from ISO 32000-1:2008, 7.3.4.2 (from memory).
func TestLiteralStrings(t *testing.T) {
	const balanced = "Strings may contain balanced parentheses ( ) and special characters ( * ! & } ^ % and so on )."
	for in, want := range map[string]string{
		"(" + balanced + ")":                                   balanced,
		"(These \\\ntwo strings \\\nare the same.)":            "These two strings are the same.",
		`(This string contains \245two octal characters\307.)`: "This string contains \xa5two octal characters\xc7.",
		`(\0053)`:         "\x053",
		`(\53)`:           "+",
		`(a\(b\\c\nd\qe)`: "a(b\\c\ndqe",
	} {
		o, err := (&parser{data: []byte(in)}).object()
		require.NoError(t, err, in)
		assert.Equal(t, want, string(o.(String).Bytes), in)
	}
}

// A document that is written, read and written again is the same bytes; the same
// document in any other form is not. So no reader can find another one in it.
func TestWrittenInOneFormOnly(t *testing.T) {
	loose := written("/Info 2 0 R", "<</Type/Catalog/B 3 0 R/A(a\\(\\051)/N/a#20b/F -0.50/Z null>>", "<</Title(x)>>",
		"<</Filter/FlateDecode/Length 3>>\nstream\nabc\nendstream")
	f, err := Open(loose)
	require.NoError(t, err)
	d, err := f.Objects()
	require.NoError(t, err)
	plain := d.Bytes()
	assert.NotEqual(t, loose, plain)
	again := func(file []byte) ([]byte, error) {
		f, err := Open(file)
		if err != nil {
			return nil, err
		}
		d, err := f.Objects()
		if err != nil {
			return nil, err
		}
		return d.Bytes(), nil
	}
	same, err := again(plain)
	require.NoError(t, err)
	require.Equal(t, string(plain), string(same))
	assert.Contains(t, string(plain), "1 0 obj\n<</A <612829>/B 3 0 R/F -0.5/N /a#20b/Type /Catalog/Z null>>\nendobj\n")
	assert.Contains(t, string(plain), "3 0 obj\n<</Filter /FlateDecode/Length 3>>\nstream\nabc\nendstream\nendobj\n")

	// Every change of a bit is another document, another form, or no document.
	for n := range len(plain) * 8 {
		changed := bytes.Clone(plain)
		changed[n/8] ^= 1 << (n % 8)
		if same, err := again(changed); err == nil && bytes.Equal(same, changed) {
			x, errX := Open(plain)
			y, errY := Open(changed)
			require.NoError(t, errX)
			require.NoError(t, errY)
			a, errA := x.Objects()
			b, errB := y.Objects()
			require.NoError(t, errA)
			require.NoError(t, errB)
			assert.NotEqual(t, a.Numbered(), b.Numbered(), "bit %d of byte %d", n%8, n/8)
		}
	}
	// Whatever is put in between is noticed.
	for at := range plain {
		for _, put := range []string{" ", "\n", "%x\n", "9 0 obj<</Linearized 1>>endobj\n", "\x00"} {
			changed := append(append(bytes.Clone(plain[:at]), put...), plain[at:]...)
			if same, err := again(changed); err == nil && bytes.Equal(same, changed) {
				t.Errorf("%q at byte %d", put, at)
			}
		}
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
	if f.Trailer["Info"] != nil {
		d, err := f.Objects()
		if err != nil {
			return err
		}
		d.Bytes()
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
		drawing, err := f.Content(p, 1<<20)
		if err != nil {
			return err
		}
		if _, err := Words(drawing, 1<<20); err != nil {
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
		fmt.Fprintf(&overlapping, "%d 0 obj[%d 0 R(", i+1, (i+1)%many+1)
	}
	overlapping.WriteString(strings.Repeat(")]endobj ", many) + "\n")
	fmt.Fprintf(&overlapping, "xref\n1 %d\n%strailer\n<</Root 1 0 R/Info 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", many,
		table.String(), overlapping.Len())
	fan := []string{"<</Names<</EmbeddedFiles 2 0 R>>>>"} // 2^60 ways through it
	for k := 2; k <= 62; k++ {
		fan = append(fan, fmt.Sprintf("<</Kids[%d 0 R %d 0 R]>>", k+1, k+1))
	}
	fan = append(fan, "<<>>")
	changed := func(from, to string) []byte {
		return []byte(strings.Replace(string(with(packed(nil))), from, to, 1))
	}

	for name, test := range map[string]struct {
		file []byte
		want string
	}{
		"nothing": {nil, "it does not begin as a PDF"},
		"no PDF":  {bytes.Repeat([]byte("GIF89a"), 100), "it does not begin as a PDF"},
		"cut":     {with(packed(nil))[:200], "it does not end as a PDF"},
		"a stream that claims 2 GB": {with("<</Length 2147483648>>\nstream\nx\nendstream"),
			"claims more bytes than the file has"},
		"a length that is no number": {with("<</Length(9)>>\nstream\nx\nendstream"),
			"claims more bytes than the file has"},
		"a negative length": {with("<</Length -5>>\nstream\nx\nendstream"),
			"claims more bytes than the file has"},
		"a length in itself": {with("<</Length 4 0 R>>\nstream\nx\nendstream"),
			"claims more bytes than the file has"},
		"a zip bomb": {with(bomb), "longer than its limit of 1048576 bytes"},
		"a filter on a filter": {with("<</Filter[/FlateDecode/FlateDecode]/Length 1>>\nstream\nx\nendstream"),
			"packed in an unknown way"},
		"pages in a circle": {written("", "<</Pages 2 0 R>>", "<</Kids[3 0 R]>>", "<</Kids[2 0 R]>>"),
			"its pages go in circles"},
		"a page that is its own kid": {written("", "<</Pages 2 0 R>>", "<</Kids[2 0 R]>>"),
			"its pages go in circles"},
		"references in a circle": {written("", "2 0 R", "1 0 R"), "its references go in circles"},
		"attachments in a circle": {written("", "<</Pages 2 0 R/Names<</EmbeddedFiles 4 0 R>>>>",
			"<</Kids[3 0 R]>>", page, "<</Kids[4 0 R]>>"), "not listed as they should be"},
		"two attachments of a name": {written("", "<</Names<</EmbeddedFiles<</Names[(a) 4 0 R(b) 4 0 R]>>>>>>",
			"<<>>", "<<>>", "<</UF(a)/EF<</F 5 0 R>>>>", packed(nil)), "two attachments called"},
		"a key twice":          {with("<</A 1/#41 2>>"), "a dictionary has /A twice"},
		"attachments in a fan": {written("", fan...), "not listed as they should be"},
		"a million numbers": {written("/Info 2 0 R", "["+strings.Repeat("0 ", 1_500_000)+"]", "<<>>"),
			"it has too many objects"},
		"an object twice": {changed("trailer", "1 1\n0000000015 00000 n \ntrailer"),
			"object 1 has several versions"},
		"a later generation": {changed("00000 n", "00001 n"), "object 1 has several versions"},
		"behind the trailer": {changed("startxref", "1 0 obj 2 endobj startxref"),
			"something stands behind its trailer"},
		"data on the line of stream": {with("<</Length 1>>\nstream x\nendstream"),
			"claims more bytes than the file has"},
		"more behind what is packed": {with(strings.Replace(packed(nil), "\nendstream", "x\nendstream", 1)),
			"does not end where it says"},
		"nested without end":          {written("", strings.Repeat("[", 100000)), "nested too deep"},
		"nested dictionaries":         {written("", strings.Repeat("<</A", 100000)), "nested too deep"},
		"an object beyond the end":    {changed("0000000015 ", "9999999999 "), "lies behind its end"},
		"an object that is elsewhere": {changed("0000000015 ", "0000000016 "), "is not where the table says"},
		"a revision":                  {written("/Prev 9", "<</Pages 2 0 R>>"), "several revisions or is encrypted"},
		"encrypted":                   {written("/Encrypt 9", "<</Pages 2 0 R>>"), "several revisions or is encrypted"},
		"a table of a billion": {[]byte("%PDF-1.7\nxref\n0 999999999\ntrailer\n<<>>\nstartxref\n9\n%%EOF\n"),
			"an entry cannot be read"},
		"objects in each other": {[]byte(overlapping.String()), "its objects overlap each other"},
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
	f.Add(
		written("", "<</Type/Catalog/Pages 2 0 R/A#20B <48 6>>>", "<</Kids[3 0 R]/Count 1>>",
			"<</Type/Page/Contents 4 0 R>>", packed([]byte("BT (\x00A) Tj ET"))),
	)
	f.Add(
		written("", "<</Pages 2 0 R/Names<</EmbeddedFiles<</Names[(a) 4 0 R]>>>>>>", "<</Kids[3 0 R]>>", "<<>>",
			"<</UF(a)/EF<</F 5 0 R>>>>", packed([]byte("x"))),
	)
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

// Draw adds to what one page draws, and to nothing else; a page that is not plain is refused.
func TestDrawsOnAPage(t *testing.T) {
	plain := "<</Length 4>>\nstream\nq Q\n\nendstream"
	of := func(content string) *Objects {
		f, err := Open(written("/Info 6 0 R", "<</Type/Catalog/Pages 2 0 R>>", "<</Kids[3 0 R 4 0 R]/Count 2>>",
			"<</Type/Page/Contents 5 0 R>>", "<</Type/Page/Contents 7 0 R>>", plain, "<<>>", content))
		require.NoError(t, err)
		d, err := f.Objects()
		require.NoError(t, err)
		return d
	}
	d := of(plain)
	require.NoError(t, d.Draw(1, []byte("1 w\n")))
	f, err := Open(d.Bytes())
	require.NoError(t, err)
	pages, err := f.Pages()
	require.NoError(t, err)
	for page, want := range []string{"q Q\n", "q Q\n1 w\n"} {
		content, err := f.Content(pages[page], 100)
		require.NoError(t, err)
		assert.Equal(t, want, string(content), page)
	}
	for _, page := range []int{-1, 2} {
		assert.ErrorIs(t, d.Draw(page, []byte("1 w\n")), ErrNotRead, page)
	}
	assert.ErrorIs(t, of(packed([]byte("q Q\n"))).Draw(1, nil), ErrNotRead, "packed")
	assert.ErrorIs(t, of("<<>>").Draw(1, nil), ErrNotRead, "no content")
}
