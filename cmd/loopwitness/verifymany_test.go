//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// certified is the file of a demonstration's certificate.
func certified(t *testing.T, dir string) []byte {
	t.Helper()
	_, errs, code := at(t, dir, nil, "demo")
	require.Zero(t, code, errs)
	found, err := filepath.Glob(filepath.Join(dir, "loopwitness-demo", "certificates", "*-handover-*.pdf"))
	require.NoError(t, err)
	require.Len(t, found, 1)
	file, err := os.ReadFile(found[0])
	require.NoError(t, err)
	return file
}

// Audit, 16: one unreadable folder ends all, and linked folders are skipped silently.
func TestOneUnreadableFolderDoesNotEndAllAndLinksAreTold(t *testing.T) {
	dir := t.TempDir()
	file := certified(t, dir)
	for _, name := range []string{"a", "b", "closed", "elsewhere"} {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, "all", name), 0o755))
	}
	require.NoError(t, os.Rename(filepath.Join(dir, "all", "elsewhere"), filepath.Join(dir, "elsewhere")))
	require.NoError(t, os.Symlink(filepath.Join(dir, "elsewhere"), filepath.Join(dir, "all", "linked")))
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "all", "b", "pipe.pdf"), 0o600))
	require.NoError(t, os.Symlink("gone.pdf", filepath.Join(dir, "all", "b", "dangling.pdf")))
	for _, name := range []string{"all/a/1.pdf", "all/b/2.pdf", "elsewhere/3.pdf"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), file, 0o600))
	}
	require.NoError(t, os.Chmod(filepath.Join(dir, "all", "closed"), 0))
	t.Cleanup(func() { _ = os.Chmod(filepath.Join(dir, "all", "closed"), 0o700) })
	out, errs, code := at(t, dir, nil, "verify", "all")
	assert.Equal(t, exitNotRun, code, errs)
	assert.Contains(t, errs, "all/linked: a link to a folder, which is not followed")
	flat := strings.Join(strings.Fields(out), " ")
	assert.Contains(t, flat, "2 intact, 0 fail")
	assert.Contains(t, flat, "it is not a file, but a pipe")
	assert.Less(t, strings.Index(out, "all/a/1.pdf"), strings.Index(out, "all/b/2.pdf"), "in order")
	if os.Getuid() != 0 { // root reads everything
		assert.Contains(t, flat, "all/closed NOT CHECKED")
	}
	out, _, _ = at(t, dir, nil, "verify", "all/linked")
	assert.Contains(t, strings.ReplaceAll(out, "\n", ""), "elsewhere/3.pdf", "a link that is named itself is followed")
}

// Audit, 16: nothing printed until the end, and lost by Ctrl-C.
func TestManyFilesAreToldOneByOneAndCtrlCKeepsThem(t *testing.T) {
	dir := t.TempDir()
	file := certified(t, dir)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "many"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "one.pdf"), file, 0o600))
	const many = 2000
	for i := range many {
		require.NoError(t, os.Link(filepath.Join(dir, "one.pdf"), filepath.Join(dir, "many", fmt.Sprintf("%04d.pdf", i))))
	}
	for _, asJSON := range []bool{false, true} {
		cmd := exec.Command(os.Args[0], "verify", "many", fmt.Sprintf("--json=%t", asJSON))
		cmd.Dir, cmd.Env = dir, append(os.Environ(), runSelf+"=1")
		var errs strings.Builder
		cmd.Stderr = &errs
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		t.Cleanup(func() { _ = cmd.Process.Kill() })
		var all strings.Builder
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			all.WriteString(lines.Text() + "\n")
			if strings.Contains(lines.Text(), "0003.pdf") {
				require.NoError(t, cmd.Process.Signal(os.Interrupt))
			}
		}
		_ = cmd.Wait()
		assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode())
		assert.Contains(t, all.String(), "0000.pdf")
		assert.NotContains(t, all.String(), fmt.Sprintf("%04d.pdf", many-1))
		assert.Contains(t, errs.String(), "broken off: what is told above was checked to its end")
		if asJSON {
			var told struct {
				Files    []struct{ Outcome string }
				Finished bool
				Intact   int
			}
			require.NoError(t, json.Unmarshal([]byte(all.String()), &told))
			assert.False(t, told.Finished)
			assert.Equal(t, told.Intact, len(told.Files))
			assert.Greater(t, told.Intact, 3)
		}
	}
}
