//go:build unix

package main

import (
	"flag"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/outsidetool"
)

var renew = flag.Bool("renew", false, "make the pictures of the README anew")

const pictureFolder = "../../testdata/pictures"

// The README shows what the program does: a phone at a detector of the demonstration's studio,
// and page one of the demonstration's certificate. With -renew they are made anew, by the
// program itself.
func TestPicturesOfTheReadme(t *testing.T) {
	if *renew {
		picturePhone(t)
		pictureCertificate(t)
	}
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for _, name := range []string{"phone-at-a-detector.png", "certificate-page-1.png"} {
		assert.True(t, strings.Contains(string(readme), `src="testdata/pictures/`+name+`"`), name)
		f, err := os.Open(filepath.Join(pictureFolder, name))
		require.NoError(t, err)
		_, err = png.Decode(f)
		assert.NoError(t, err, name)
		info, err := f.Stat()
		require.NoError(t, err)
		assert.Less(t, info.Size(), int64(250_000), name)
		require.NoError(t, f.Close())
	}
}

// picturePhone holds the demonstration's visit on a phone until three detectors are proved.
func picturePhone(t *testing.T) {
	t.Helper()
	t.Setenv("LOOPWITNESS_PICTURES", t.TempDir()) // as fine as a phone's screen
	b := &building{t: t, dir: t.TempDir()}
	// Without the stage of reused cables, which comes before the detectors.
	fresh := func(text string) string { return strings.ReplaceAll(text, `, reused: "yes"`, "") }
	require.NoError(t, layOut(job.At(b.dir), fresh))
	h := inHand(t, b, b.attend("visit", "start", "--kind", "handover"))
	h.watch = func(g glance) bool { return g.Kind == "operate" || g.Kind == "restore" } // simulated hands do it
	h.visit("walk/3.1/ready")
	h.Wait(`document.querySelector('#result.good')`)
	h.Compared()
	h.Steady("#now")
	h.PictureIn(pictureFolder, "phone-at-a-detector")
}

// pictureCertificate makes the demonstration's certificate and draws its first page.
func pictureCertificate(t *testing.T) {
	t.Helper()
	pdftoppm := outsidetool.Find(t, "pdftoppm")
	dir := t.TempDir()
	demo := exec.Command(os.Args[0], "demo", "--job", dir)
	demo.Env = append(os.Environ(), runSelf+"=1")
	out, err := demo.CombinedOutput()
	require.NoError(t, err, "%s", out)
	made, err := filepath.Glob(filepath.Join(dir, "certificates", "*.pdf"))
	require.NoError(t, err)
	require.Len(t, made, 2, "of a hand-over, which is the first, and of a maintenance")
	to := filepath.Join(dir, "page")
	out, err = exec.Command(pdftoppm, "-png", "-singlefile", "-r", "90", made[0], to).CombinedOutput()
	require.NoError(t, err, "%s", out)
	page, err := os.ReadFile(to + ".png")
	require.NoError(t, err)
	require.NoError(t, browser.KeepPicture(pictureFolder, "certificate-page-1", page))
}
