package visit

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
)

// A walk in the technician's own order that ends after any entry, at any byte of the next,
// goes on in the program's order: what was proved stays proved, what was half written is open,
// and nothing that was heard before the break counts after it.
func TestAWalkIsResumedAfterEveryEntry(t *testing.T) {
	const again = "answers:\n  - {when: \"walk/*/reason\", say: locked}\n  - {when: \"walk/*/ready\", say: skip}\n"
	for _, name := range []string{"roam", "roam-touched", "roam-room", "roam-put-right"} {
		archive, err := txtar.ParseFile(filepath.Join("testdata", name+".txtar"))
		require.NoError(t, err)
		var whole []byte
		synctest.Test(t, func(t *testing.T) {
			k := newTalk(t, archive)
			file := filepath.Join(t.TempDir(), "journal.jsonl")
			v := k.open(t, file, textOf(archive, "answers"), false)
			k.stop = func() {}
			require.NoError(t, v.Run(t.Context()))
			require.NoError(t, v.Close())
			whole, err = os.ReadFile(file)
			require.NoError(t, err)
		})
		lines := bytes.SplitAfter(bytes.TrimSuffix(whole, []byte("\n")), []byte("\n"))
		for n := 1; n < len(lines); n++ {
			cut := append(bytes.Join(lines[:n], nil), lines[n][:n%len(lines[n])]...)
			t.Run(fmt.Sprintf("%s %d", name, n), func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					time.Sleep(time.Hour)
					file := filepath.Join(t.TempDir(), "journal.jsonl")
					require.NoError(t, os.WriteFile(file, cut, 0o600))
					before, err := journal.ReadFile(file)
					require.NoError(t, err)
					then, err := record.Fold(before.Entries)
					require.NoError(t, err)
					b := newBench(t, &timeline{}, clock.Real{}, again)
					v, err := Resume(b.config, file)
					require.NoError(t, err)
					require.NoError(t, v.Run(t.Context()), b.out.String())
					require.NoError(t, v.Close())
					after, err := journal.ReadFile(file)
					require.NoError(t, err)
					r, err := record.Fold(after.Entries)
					require.NoError(t, err)
					assert.Equal(t, v.Record(), r, "the live record is the folded one")
					assert.True(t, r.Done())
					breaksNoLaw(t, r)
					for _, o := range r.Outcomes() {
						was := then.Find(o.Step().ID)
						assert.Equal(t, len(was.Tried()), len(o.Tried()), o.Step().ID)
						if !was.Concluded() {
							assert.Equal(t, record.LeftOut, o.Result(), o.Step().ID)
						}
					}
				})
			})
		}
	}
}
