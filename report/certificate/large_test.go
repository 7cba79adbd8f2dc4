package certificate

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/invented"
	"loopwitness/commission/programme"
	"loopwitness/commission/words"
)

func documentOf(t testing.TB, l invented.Large, kind programme.VisitKind) Document {
	t.Helper()
	f := l.Files()
	began := time.Now()
	a, err := dryrun.Visit{Site: f.Site, Controller: f.Controller, Answers: f.Answers, Kind: kind}.Run(t.Context())
	require.NoError(t, err)
	t.Log("ran", time.Since(began))
	return Write(a, Options{Language: words.English{}, Revision: 1, Tool: "loopwitness test",
		Journal:  strings.Repeat("0123456789abcdef", 4),
		SealedBy: Sealer{Kind: KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

func TestShow(t *testing.T) {
	for name, l := range map[string]invented.Large{"3": {Zones: 3, Detectors: 3}, "30": {Zones: 30, Detectors: 40}, "300": {Zones: 300, Detectors: 390, Spoilt: true}, "1000": {Zones: 500, Detectors: 1000}} {
		for _, kind := range []programme.VisitKind{programme.Handover, programme.Maintenance} {
			d := documentOf(t, l, kind)
			began := time.Now()
			sheets := paginate(d)
			t.Log(name, kind, len(sheets), time.Since(began))
			if dir := os.Getenv("SHOW"); dir != "" {
				pdf, err := Render(d, made)
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(filepath.Join(dir, name+string(kind)+".pdf"), pdf, 0o600))
			}
		}
	}
}
