package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var noon = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)

func written(t *testing.T, entries int) (string, []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "visit", "journal.jsonl")
	w, err := Create(path)
	require.NoError(t, err)
	for i := range entries {
		body := map[string]string{"text": "Ofen <&> 🏺 " + strings.Repeat("x", i)}
		_, err := w.Append(noon.Add(time.Duration(i)*time.Second), "note", body)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return path, data
}

func TestAppendedEntriesAreReadBack(t *testing.T) {
	path, _ := written(t, 3)
	w, c, rec, err := Open(path)
	require.NoError(t, err)
	defer w.Close()
	assert.Zero(t, rec)
	require.Len(t, c.Entries, 3)
	assert.Equal(t, 2*time.Second, c.Entries[2].Elapsed)
	assert.Equal(t, noon.Add(2*time.Second), c.Entries[2].At)
	e, err := w.Append(noon, "note", 1)
	require.NoError(t, err)
	assert.Equal(t, 4, e.N)
	assert.Equal(t, 2, e.Run, "a resumption is a new run")
	assert.Zero(t, e.Elapsed)
}

// A power cut may leave any prefix of the file: whole lines survive, the rest
// is set aside, and the journal goes on.
func TestTornTailAtEveryByte(t *testing.T) {
	_, data := written(t, 4)
	dir := t.TempDir()
	for cut := range len(data) + 1 {
		path := filepath.Join(dir, "journal.jsonl")
		require.NoError(t, os.WriteFile(path, data[:cut], 0o644))
		w, c, rec, err := Open(path)
		require.NoError(t, err, "cut at %d", cut)
		whole := bytes.Count(data[:cut], []byte("\n"))
		require.Len(t, c.Entries, whole, "cut at %d", cut)
		tail := data[:cut][bytes.LastIndexByte(data[:cut], '\n')+1:]
		assert.Equal(t, len(tail), rec.Bytes)
		if len(tail) > 0 {
			kept, err := os.ReadFile(rec.File)
			require.NoError(t, err)
			assert.Equal(t, tail, kept, "nothing is lost")
		}
		_, err = w.Append(noon, "note", "after")
		require.NoError(t, err)
		require.NoError(t, w.Close())
		again, err := ReadFile(path)
		require.NoError(t, err, "cut at %d", cut)
		assert.Len(t, again.Entries, whole+1)
		assert.Empty(t, again.Torn)
	}
}

// Every flipped bit is noticed, except those that turn the last LF into a
// missing one (a torn tail) or lie in the last line, which only a seal protects.
func TestEveryFlippedBitIsNoticed(t *testing.T) {
	_, data := written(t, 3)
	whole, err := Read(bytes.NewReader(data))
	require.NoError(t, err)
	for i := range data {
		for bit := range 8 {
			changed := bytes.Clone(data)
			changed[i] ^= 1 << bit
			c, err := Read(bytes.NewReader(changed))
			if err != nil {
				assert.True(t, errors.Is(err, ErrDamaged) || errors.Is(err, ErrNewer), err.Error())
				continue
			}
			if i == len(data)-1 {
				assert.NotEmpty(t, c.Torn)
				continue
			}
			require.NotEqual(t, whole.Head, c.Head, "byte %d bit %d", i, bit)
			assert.Greater(t, i, bytes.LastIndexByte(data[:len(data)-1], '\n'), "byte %d bit %d", i, bit)
		}
	}
}

func TestDamageIsToldWithItsLine(t *testing.T) {
	_, data := written(t, 4)
	lines := bytes.SplitAfter(data, []byte("\n"))
	join := func(l ...[]byte) []byte { return bytes.Join(l, nil) }
	for _, tc := range []struct {
		name string
		data []byte
		is   error
		says string
	}{
		{"line removed", join(lines[0], lines[2], lines[3]), ErrDamaged, "line 2: "},
		{"lines swapped", join(lines[0], lines[2], lines[1], lines[3]), ErrDamaged, "line 2: "},
		{"line twice", join(lines[0], lines[1], lines[1]), ErrDamaged, "line 3: "},
		{"blank line", join(lines[0], []byte("\n"), lines[1]), ErrDamaged, "line 2: "},
		{"rubbish", join(lines[0], []byte("rubbish\n")), ErrDamaged, "line 2: "},
		{"cut in the middle", join(lines[0], lines[1][:20], []byte("\n"), lines[2]), ErrDamaged, "line 2: "},
		{"other encoding", bytes.Replace(data, []byte(`"n":1`), []byte(`"n": 1`), 1), ErrDamaged, "not written by this tool"},
		{"newer, even if unreadable", []byte(`{"format":9,"new":true}` + "\n"), ErrNewer, "format 9"},
	} {
		_, err := Read(bytes.NewReader(tc.data))
		require.ErrorIs(t, err, tc.is, tc.name)
		assert.ErrorContains(t, err, tc.says, tc.name)
	}
}

// failing is a file that fails on demand.
type failing struct {
	writes, syncs int // how many succeed
	written       bytes.Buffer
}

func (f *failing) Write(p []byte) (int, error) {
	if f.writes--; f.writes < 0 {
		return 0, errors.New("no space left")
	}
	return f.written.Write(p)
}

func (f *failing) Sync() error {
	if f.syncs--; f.syncs < 0 {
		return errors.New("input/output error")
	}
	return nil
}
func (f *failing) Close() error { return nil }

func TestNothingIsTakenAfterAFailure(t *testing.T) {
	for _, f := range []*failing{{writes: 1, syncs: 9}, {writes: 9, syncs: 1}} {
		w := On(f)
		_, err := w.Append(noon, "note", 1)
		require.NoError(t, err)
		_, err = w.Append(noon, "note", 2)
		require.Error(t, err)
		f.writes, f.syncs = 9, 9
		_, err = w.Append(noon, "note", 3)
		assert.ErrorIs(t, err, ErrDead)
	}
}

func TestOneVisitOneWriter(t *testing.T) {
	path, _ := written(t, 1)
	w, _, _, err := Open(path)
	require.NoError(t, err)
	_, _, _, err = Open(path)
	require.ErrorIs(t, err, ErrHeld)
	assert.ErrorContains(t, err, "process")
	require.NoError(t, w.Close())
	w, _, _, err = Open(path)
	require.NoError(t, err)
	require.NoError(t, w.Close())
}

func TestLongFirstEntry(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := Create(path)
	require.NoError(t, err)
	long := strings.Repeat("zone ", 100_000)
	_, err = w.Append(noon, "opened", long)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	c, err := ReadFile(path)
	require.NoError(t, err)
	var back string
	require.NoError(t, json.Unmarshal(c.Entries[0].Body, &back))
	assert.Equal(t, long, back)
}

// What is read prints back to the same bytes; what fails returns nothing.
func FuzzRead(f *testing.F) {
	e, _ := encode(Entry{N: 1, At: noon, Run: 1, Kind: "note", Body: json.RawMessage(`"x"`)}, noPrev)
	f.Add(append(e, '\n'))
	f.Add([]byte("{}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Read(bytes.NewReader(data))
		if err != nil {
			if len(c.Entries) != 0 {
				t.Fatal("entries beside an error")
			}
			return
		}
		var back []byte
		prev := noPrev
		for _, e := range c.Entries {
			text, err := encode(e, prev)
			if err != nil {
				t.Fatal(err)
			}
			prev = hash(text)
			back = append(append(back, text...), '\n')
		}
		if !bytes.Equal(append(back, c.Torn...), data) {
			t.Fatalf("%q came back as %q", data, back)
		}
	})
}

func BenchmarkAppend(b *testing.B) {
	w, err := Create(filepath.Join(b.TempDir(), "journal.jsonl"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := w.Append(noon, "signal", map[string]string{"address": "z1", "state": "active"}); err != nil {
			b.Fatal(err)
		}
	}
}

// A journal's name is durable before anything is written into it, and that of a line set
// aside before the line is cut off: after a power cut there is a journal, or none was begun.
func TestNamesAreDurable(t *testing.T) {
	before := syncFolder
	t.Cleanup(func() { syncFolder = before })
	var synced []string
	syncFolder = func(folder string) error {
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		for _, e := range entries {
			if strings.HasSuffix(e.Name(), ".lock") {
				continue // it need not outlive a power cut
			}
			info, err := e.Info()
			require.NoError(t, err)
			synced = append(synced, fmt.Sprintf("%s %d", e.Name(), info.Size()))
		}
		return before(folder)
	}
	path, data := written(t, 2)
	assert.Equal(t, []string{"journal.jsonl 0"}, synced)

	synced = nil
	require.NoError(t, os.WriteFile(path, append(data, "torn"...), 0o644))
	w, _, _, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	whole := fmt.Sprintf("journal.jsonl %d", len(data)+len("torn"))
	assert.Equal(t, []string{whole, "journal.jsonl.torn-after-2 4"}, synced)
}

// A name that could not be made durable is taken back, and a later attempt may succeed.
func TestANameThatIsNotDurableIsTakenBack(t *testing.T) {
	before := syncFolder
	t.Cleanup(func() { syncFolder = before })
	full := errors.New("input/output error")
	syncFolder = func(string) error { return full }
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	_, err := Create(path)
	require.ErrorIs(t, err, full)
	assert.NoFileExists(t, path)
	syncFolder = before
	w, err := Create(path)
	require.NoError(t, err)
	require.NoError(t, w.Close())
}
