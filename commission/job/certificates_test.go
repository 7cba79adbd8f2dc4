package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRevisions(t *testing.T) {
	for name, test := range map[string]struct {
		files []string
		want  int
	}{
		"none":              {nil, 0},
		"by number":         {[]string{"handover-rev2.pdf", "handover-rev10.pdf", "handover-rev9.pdf"}, 10},
		"one was removed":   {[]string{"handover-rev3.pdf"}, 3},
		"of another visit":  {[]string{"handover-2-rev7.pdf", "old-handover-rev8.pdf", "handover-rev1.pdf"}, 1},
		"no certificates":   {[]string{"handover-rev4.pdf.part", "handover-rev5.txt", "handover-rev-6.pdf"}, 0},
		"in other letters":  {[]string{"HANDOVER-Rev3.PDF"}, 3},
		"a number too long": {[]string{"handover-rev99999999999999999999.pdf", "handover-rev2.pdf"}, 2},
	} {
		t.Run(name, func(t *testing.T) {
			v := Visit{Name: "handover", folder: At(t.TempDir())}
			require.NoError(t, os.MkdirAll(v.folder.certificates(), 0o755))
			for _, file := range test.files {
				require.NoError(t, os.WriteFile(filepath.Join(v.folder.certificates(), file), nil, 0o644))
			}
			last, err := v.LastRevision()
			require.NoError(t, err)
			assert.Equal(t, test.want, last)
		})
	}
	v := Visit{Name: "handover", folder: At(t.TempDir())}
	last, err := v.LastRevision()
	require.NoError(t, err, "there is no folder yet")
	assert.Zero(t, last)
	assert.Equal(t, filepath.Join(v.folder.dir, "certificates", "handover-rev12.pdf"), v.CertificatePath(12))
}
