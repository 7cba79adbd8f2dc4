package verify

import (
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/invented"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// A sealed certificate is structured as ISO 19005-3 (PDF/A-3) asks, clause by clause as the public rule
// profiles have it (looked up there). It claims no conformance: no validator was at hand to say so. Not
// looked at here: the syntax of content streams, which qpdf reads, and glyphs, which TestFontsSayWhatTheyHold
// compares.
func TestStructureForArchives(t *testing.T) {
	id := newIdentity(t, "Žák & Töchter")
	file := sealed(t, photographed(t, id).Contents, id)
	f, err := pdffile.Open(file)
	require.NoError(t, err)
	o, err := f.Objects()
	require.NoError(t, err)
	root, err := f.Root()
	require.NoError(t, err)

	t.Run("6.1.2 and 6.1.3 head, identifier, end", func(t *testing.T) {
		assert.True(t, bytes.HasPrefix(file, []byte("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")), "four bytes above 127")
		assert.Len(t, o.ID, 16)
		assert.Nil(t, f.Trailer["Encrypt"])
		assert.True(t, bytes.HasSuffix(file, []byte("%%EOF\n")))
		assert.Equal(t, 1, bytes.Count(file, []byte("%%EOF")), "one revision: it was sealed by being written anew")
	})
	t.Run("6.1 streams, strings, names, numbers", func(t *testing.T) {
		objects := 0
		o.Each(func(_ pdffile.Ref, object pdffile.Object) {
			objects++
			checkLimits(t, object)
		})
		assert.Less(t, objects, 8388607)
	})
	t.Run("6.2.3 output intent", func(t *testing.T) {
		intents := root["OutputIntents"].(pdffile.Array)
		require.Len(t, intents, 1)
		intent := o.Dict(intents[0])
		assert.Equal(t, pdffile.Name("GTS_PDFA1"), intent["S"])
		profile, err := o.Unpacked(intent["DestOutputProfile"].(pdffile.Ref), 1<<16)
		require.NoError(t, err)
		assert.Less(t, profile[8], byte(5))
		assert.Equal(t, "mntrRGB ", string(profile[12:20]))
	})
	t.Run("6.2 no transparency, no pictures that are smoothed", func(t *testing.T) {
		o.Each(func(_ pdffile.Ref, object pdffile.Object) {
			d := pdffile.DictOf(object)
			for _, key := range []pdffile.Name{"SMask", "ExtGState", "Group", "Alternates", "OPI", "Interpolate"} {
				assert.Nil(t, d[key], "/%s", key)
			}
		})
	})
	t.Run("6.2.11 fonts", func(t *testing.T) {
		fonts := 0
		o.Each(func(_ pdffile.Ref, object pdffile.Object) {
			d := pdffile.DictOf(object)
			switch d["Subtype"] {
			case pdffile.Name("Type0"):
				fonts++
				assert.Regexp(t, `^[A-Z]{6}\+[A-Za-z-]+$`, string(d["BaseFont"].(pdffile.Name)))
				assert.NotNil(t, d["ToUnicode"])
			case pdffile.Name("CIDFontType2"):
				assert.NotNil(t, d["CIDToGIDMap"])
				assert.NotNil(t, o.Dict(d["FontDescriptor"])["FontFile2"])
			case pdffile.Name("Type1"), pdffile.Name("TrueType"), pdffile.Name("Type3"):
				t.Error("a font that is not embedded as the others are")
			}
		})
		assert.Positive(t, fonts)
	})
	t.Run("6.3 annotations", func(t *testing.T) {
		const hidden, invisible, noView, print = 1 << 1, 1 << 0, 1 << 5, 1 << 2
		annotations := 0
		o.Each(func(_ pdffile.Ref, object pdffile.Object) {
			d := pdffile.DictOf(object)
			if d["Type"] != pdffile.Name("Annot") {
				return
			}
			annotations++
			flags, _ := d["F"].(pdffile.Number).Int()
			assert.Zero(t, flags&(hidden|invisible|noView))
			assert.NotZero(t, flags&print)
			assert.Nil(t, d["AA"])
			assert.Nil(t, d["A"])
		})
		assert.Equal(t, 1, annotations, "the seal's, which has no place on the page")
		for _, key := range []pdffile.Name{"AA", "OpenAction", "OCProperties", "Requirements"} {
			assert.Nil(t, root[key], "/%s", key)
		}
		form := o.Dict(root["AcroForm"])
		assert.Nil(t, form["XFA"])
		assert.Nil(t, form["NeedAppearances"])
	})
	t.Run("6.6 metadata", func(t *testing.T) { checkMetadata(t, o, root) })
	t.Run("6.7 language, title shown", func(t *testing.T) {
		assert.Equal(t, "en", pdffile.Text(root["Lang"].(pdffile.String)))
		assert.Equal(t, true, o.Dict(root["ViewerPreferences"])["DisplayDocTitle"])
	})
	t.Run("6.8 embedded files", func(t *testing.T) {
		want := map[string]pdffile.Name{seal.JournalName: "Source", seal.StatementName: "Data",
			"photograph-1.jpg": "Supplement", "photograph-2.jpg": "Supplement"}
		files, err := f.Attachments()
		require.NoError(t, err)
		associated := root["AF"].(pdffile.Array)
		require.Len(t, associated, len(files))
		require.Len(t, files, len(want))
		for _, ref := range associated {
			spec := o.Dict(ref)
			name := pdffile.Text(spec["UF"].(pdffile.String))
			assert.Equal(t, name, pdffile.Text(spec["F"].(pdffile.String)))
			assert.Equal(t, want[name], spec["AFRelationship"], name)
			media, _ := files[name].Dict["Subtype"].(pdffile.Name)
			assert.Regexp(t, `^[-\w+.]+/[-\w+.]+$`, string(media), name)
		}
	})
}

// checkLimits looks at the limits of ISO 19005-3, 6.1.13.
func checkLimits(t *testing.T, object pdffile.Object) {
	t.Helper()
	switch o := object.(type) {
	case pdffile.Name:
		assert.LessOrEqual(t, len(o), 127)
	case pdffile.String:
		assert.LessOrEqual(t, len(o.Bytes), 32767)
	case pdffile.Array:
		for _, e := range o {
			checkLimits(t, e)
		}
	case pdffile.Dict:
		for k, v := range o {
			checkLimits(t, k)
			checkLimits(t, v)
		}
	case pdffile.Stream:
		checkLimits(t, o.Dict)
		assert.Contains(t, []pdffile.Object{nil, pdffile.Name("FlateDecode"), pdffile.Name("DCTDecode")}, o.Dict["Filter"])
		assert.Nil(t, o.Dict["F"])
		if o.Dict["Filter"] == pdffile.Name("FlateDecode") {
			r, err := zlib.NewReader(bytes.NewReader(o.Raw))
			assert.NoError(t, err)
			_, err = io.Copy(io.Discard, r)
			assert.NoError(t, err)
		}
	}
}

// checkMetadata holds the XMP packet against the information dictionary: what both say is the same.
func checkMetadata(t *testing.T, o *pdffile.Objects, root pdffile.Dict) {
	t.Helper()
	s := o.Get(root["Metadata"].(pdffile.Ref)).(pdffile.Stream)
	assert.Equal(t, pdffile.Name("XML"), s.Dict["Subtype"])
	assert.Nil(t, s.Dict["Filter"])
	head := "<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>"
	require.True(t, bytes.HasPrefix(s.Raw, []byte(head)), "neither bytes nor an encoding are named")
	values := map[string]string{}
	dec := xml.NewDecoder(bytes.NewReader(s.Raw[len(head):]))
	var path []string
	for {
		token, err := dec.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			path = append(path, token.Name.Local)
		case xml.EndElement:
			path = path[:len(path)-1]
		case xml.CharData:
			if text := strings.TrimSpace(string(token)); text != "" {
				values[strings.Join(path[3:], "/")] = text
			}
		}
	}
	info := o.Dict(o.Info)
	said := func(key pdffile.Name) string {
		text, _ := info[key].(pdffile.String)
		return pdffile.Text(text)
	}
	assert.Equal(t, said("Title"), values["title/Alt/li"])
	assert.Equal(t, said("Author"), values["creator/Seq/li"])
	assert.Equal(t, said("Creator"), values["CreatorTool"])
	assert.Equal(t, said("Producer"), values["Producer"])
	const day = `^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$`
	for key, in := range map[pdffile.Name]string{"CreationDate": "CreateDate", "ModDate": "ModifyDate"} {
		assert.Equal(t, regexp.MustCompile(day).ReplaceAllString(said(key), "$1-$2-${3}T$4:$5:${6}Z"), values[in])
	}
	assert.Equal(t, "loopwitness test", values["CreatorTool"])
	assert.Len(t, info, 6)
	assert.NotContains(t, string(s.Raw), "pdfaid", "nothing is claimed")
}

// Programs of others find the same, and nothing to complain of.
func TestOutsideReadersFindTheDescription(t *testing.T) {
	qpdf, pdfinfo := outsidetool.Find(t, "qpdf"), outsidetool.Find(t, "pdfinfo")
	pdffonts, pdfdetach := outsidetool.Find(t, "pdffonts"), outsidetool.Find(t, "pdfdetach")
	exiftool := outsidetool.Find(t, "exiftool")
	id := newIdentity(t, "x")
	dir := t.TempDir()
	path := stored(t, dir, "c.pdf", sealed(t, photographed(t, id).Contents, id))
	assert.Contains(t, ran(t, dir, qpdf, "--check", path), "No syntax or stream encoding errors found")
	out := ran(t, dir, pdfinfo, path)
	for _, want := range []string{`Title: +Walk-test certificate `, `Creator: +loopwitness test`, `Metadata Stream: +yes`,
		`JavaScript: +no`, `Encrypted: +no`, `PDF version: +1\.7`} {
		assert.Regexp(t, want, out)
	}
	rows := strings.Split(strings.TrimSpace(ran(t, dir, pdffonts, path)), "\n")[2:]
	require.NotEmpty(t, rows)
	for _, row := range rows {
		assert.Regexp(t, `^[A-Z]{6}\+\S+ +CID TrueType +Identity-H +yes yes yes `, row)
	}
	assert.Contains(t, ran(t, dir, pdfdetach, "-list", path), "4 embedded files")
	out = ran(t, dir, exiftool, "-a", "-G1", "-s", path)
	for _, want := range []string{`\[XMP-xmp\] +CreatorTool +: loopwitness test`, `\[PDF\] +Language +: en`,
		`\[XMP-dc\] +Title +: Walk-test certificate`} {
		assert.Regexp(t, want, out)
	}
	assert.NotContains(t, out, "Warning")
}

// The sizes are those that were set for a certificate that is sent by mail.
func TestACertificateIsSmall(t *testing.T) {
	id := newIdentity(t, "x")
	assert.Less(t, len(potterySealed(t, id)), 130_000)
	if testing.Short() {
		return
	}
	f := invented.Large{Zones: 500, Detectors: 1000}.Files()
	raw, err := dryrun.Visit{Site: f.Site, Controller: f.Controller, Answers: f.Answers}.Journal(t.Context())
	require.NoError(t, err)
	many := makeFrom(t, raw, by(id))
	assert.Less(t, len(sealed(t, many.Contents, id)), 800_000)
}
