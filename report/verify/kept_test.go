package verify

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
)

const kept = "../../testdata/certificates"

var renew = flag.Bool("renew", false, "write the kept certificate of the present format, rules and edition again")

// keptName is the file of the certificates of a format, of rules and of an edition.
const keptName = "format-%d-rules-%d-edition-%d.pdf"

func presentName() string {
	return fmt.Sprintf(keptName, evidence.Format, judge.Rules, certificate.Edition)
}

// A certificate of every format, rules and edition that was ever released is kept. The
// present one is compared mark by mark; of those before, this program tells that they
// are sealed, and what it cannot compare. See testdata/README.md; look at the pages of
// one that was renewed.
func TestKeptCertificates(t *testing.T) {
	if *renew {
		require.NoError(t, os.WriteFile(filepath.Join(kept, presentName()), toKeep(t), 0o644))
	}
	files, err := filepath.Glob(filepath.Join(kept, "*.pdf"))
	require.NoError(t, err)
	require.Contains(t, files, filepath.Join(kept, presentName()), "write it with -renew")
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			file, err := os.ReadFile(path)
			require.NoError(t, err)
			r := Check(path, file, Options{})
			require.Equal(t, Holds, r.Sealed.Reply, texts(r))
			assert.True(t, r.Signature.ThrowAway)
			assert.Equal(t, 8, r.Compared.Photographs)
			if filepath.Base(path) != presentName() {
				assert.Equal(t, Unchecked, r.Outcome, texts(r))
				return
			}
			require.Equal(t, Intact, r.Outcome, texts(r))
			assert.True(t, r.Compared.Drawn)
			assert.Greater(t, r.Compared.Statements, 100)
			assert.NotEmpty(t, r.Assessment.Record().Customer().Drawing)
			assert.NotNil(t, r.Assessment.Record().Find(programme.IDTechnician).Signed().Strokes)
		})
	}
}

// toKeep is a certificate of the demonstration's journal with a signature as a picture, one in
// lines, and a photograph of each orientation, sealed with a key that is thrown away.
func toKeep(t testing.TB) []byte {
	t.Helper()
	lines := linesOf(recorded(t))
	i := find(t, lines, `"step":"`+programme.IDCustomer+`","role"`, 1)
	lines[i] = drawnUnder(t, lines[i])
	i = find(t, lines, `"step":"`+programme.IDTechnician+`","role"`, 1)
	lines[i] = changedEntry(t, lines[i], func(s *record.Signed) { s.Strokes = scrawled(0) })
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.WriteFile(path, chained(t, lines), 0o644))
	w, c, _, err := journal.Open(path)
	require.NoError(t, err)
	at := c.Entries[len(c.Entries)-1].At
	pictures := map[string][]byte{}
	for orientation := range 8 {
		p, err := photograph.Take(orientated(t, orientation+1))
		require.NoError(t, err)
		f := record.Photographed{Name: fmt.Sprintf("photograph-%d.jpg", orientation+1), About: "site",
			Caption: fmt.Sprintf("orientation %d", orientation+1), SHA256: evidence.Digest(p.Content),
			Bytes: len(p.Content), Media: p.Media, Width: p.Width, Height: p.Height}
		pictures[f.Name] = p.Content
		_, err = w.Append(at.Add(time.Minute), f.Kind(), f)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	c, err = journal.ReadFile(path)
	require.NoError(t, err)
	id := newIdentity(t, "Kept nowhere")
	m := evidence.Making{Revision: 1, Tool: "loopwitness kept", Made: at.Add(time.Hour).Truncate(time.Second),
		SealedBy: certificate.Sealer{Kind: certificate.ThrowAwayKey, Name: id.Name(), Fingerprint: id.Fingerprint()}}
	made, err := evidence.Make(c, func(p record.Photograph) ([]byte, error) { return pictures[p.Name], nil }, m)
	require.NoError(t, err)
	return sealed(t, made.Contents, id)
}

// drawnUnder is an entry of somebody's name, with a drawn signature.
func drawnUnder(t testing.TB, line string) string {
	t.Helper()
	ink := image.NewGray(image.Rect(0, 0, 600, 200))
	for x := range 600 {
		for y := range 200 {
			ink.SetGray(x, y, color.Gray{Y: 255})
		}
	}
	for x := 30; x < 570; x++ { // a zigzag, as somebody in a hurry signs
		y := 100 + (x%90-45)*(1-2*(x/90%2))
		for pen := range 6 {
			ink.SetGray(x, y+pen, color.Gray{Y: 20})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, ink))
	drawing, err := photograph.Drawing(b.Bytes())
	require.NoError(t, err)
	return changedEntry(t, line, func(s *record.Signed) { s.Drawing = drawing })
}

// changedEntry is an entry whose fact is changed; the chain does not hold any more.
func changedEntry[F record.Fact](t testing.TB, line string, change func(*F)) string {
	t.Helper()
	var entry map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(line), &entry))
	var fact F
	require.NoError(t, json.Unmarshal(entry["body"], &fact))
	change(&fact)
	body, err := journal.Marshal(fact)
	require.NoError(t, err)
	entry["body"] = body
	out, err := json.Marshal(entry)
	require.NoError(t, err)
	return string(out)
}

// scrawled is a signature as it is drawn on glass, with a curl of its own.
func scrawled(curl int) *record.Strokes {
	s := &record.Strokes{Width: 600, Height: 200, Lines: [][]int16{nil, {90, 170, 520, 150}}}
	for i := range 120 {
		turn := float64(i) / 6
		s.Lines[0] = append(s.Lines[0], int16(60+4*i), int16(90+50*math.Sin(turn)+float64(curl)*math.Cos(3*turn)))
	}
	return s
}

// onGlass is the demonstration's journal, with both names drawn on glass.
func onGlass(t testing.TB) []byte {
	t.Helper()
	lines := linesOf(recorded(t))
	for curl, step := range []string{programme.IDTechnician, programme.IDCustomer} {
		i := find(t, lines, `"step":"`+step+`","role"`, 1)
		lines[i] = changedEntry(t, lines[i], func(s *record.Signed) { s.Strokes = scrawled(30 * curl) })
	}
	return chained(t, lines)
}

// orientated is a JPEG that says how it has to be turned; its stored picture is dark in
// the upper left corner.
func orientated(t testing.TB, orientation int) []byte {
	t.Helper()
	p := image.NewRGBA(image.Rect(0, 0, 300, 200))
	for y := range 200 {
		for x := range 300 {
			c := color.RGBA{230, 220, uint8(120 + 10*orientation), 255}
			if x < 100 && y < 66 {
				c = color.RGBA{10, 10, 10, 255}
			}
			p.SetRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, nil))
	exif := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01" +
		"\x00\x00\x00\x00\x00\x00\x00\x00")
	binary.BigEndian.PutUint16(exif[24:], uint16(orientation))
	segment := append([]byte{0xff, 0xe1, 0, byte(2 + len(exif))}, exif...)
	return append(append(b.Bytes()[:2:2], segment...), b.Bytes()[2:]...)
}

// A signature of as many points as a journal takes is compared like any other, on its page
// as a whole.
func TestTheLargestSignature(t *testing.T) {
	lines := linesOf(recorded(t))
	for _, step := range []string{programme.IDTechnician, programme.IDCustomer} {
		i := find(t, lines, `"step":"`+step+`","role"`, 1)
		lines[i] = changedEntry(t, lines[i], func(s *record.Signed) {
			s.Strokes = &record.Strokes{Width: 4096, Height: 4096, Lines: make([][]int16, 1)}
			for n := range 20000 {
				s.Strokes.Lines[0] = append(s.Strokes.Lines[0], int16(n*37%4097), int16(n*53%4097))
			}
		})
	}
	id := newIdentity(t, "x")
	r := Check("c.pdf", sealed(t, makeFrom(t, chained(t, lines), by(id)).Contents, id), Options{})
	assert.Equal(t, Intact, r.Outcome, texts(r))
	assert.True(t, r.Compared.Drawn)
}
