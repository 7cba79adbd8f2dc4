package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loopwitness/commission/kit/freeaddress"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listensTwice is a job whose controller calls of zone 1, and is asked of zone 2. told runs a command on it.
func listensTwice(t *testing.T) (told func(args ...string) (string, error), hook string) {
	t.Helper()
	status := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = w.Write([]byte(`{"z02": "closed"}`))
	}))
	t.Cleanup(status.Close)
	at := freeaddress.Of(t)
	dir := t.TempDir()
	data, err := demoFiles.ReadFile("demo/site.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), data, 0o600))
	controller := fmt.Sprintf("listen: [webhook, poll]\nwebhook:\n  at: %s\n  secret: 3f9c0a71d2e84b65\n"+
		"  signals: [{path: /z, address: z01, active: open, restored: closed}]\npoll:\n  url: %s\n  every: 100 ms\n"+
		"  signals: [{address: z02, value: /z02, active: open, restored: closed}]\n", at, status.URL)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "controller.yaml"), []byte(controller), 0o600))
	return func(args ...string) (string, error) {
		out, err := os.CreateTemp(dir, "out")
		require.NoError(t, err)
		root := newRoot(streams{in: os.Stdin, out: out, err: &bytes.Buffer{}, lost: new(error)})
		root.SetArgs(append(args, "--job", dir))
		failed := root.ExecuteContext(context.Background())
		text, err := os.ReadFile(out.Name())
		require.NoError(t, err)
		return string(text), failed
	}, "http://" + at + "/3f9c0a71d2e84b65/z"
}

// Several ways are tried one after the other, each with the zones that belong to it.
func TestSiteCheckTriesSeveralWays(t *testing.T) {
	told, _ := listensTwice(t)
	text, err := told("site", "check", "--connect", "--for", "250ms")
	assert.ErrorIs(t, err, errCannotWork, "other zones have no signal")
	for _, line := range []string{"The zones that belong to webhook: 1\n", "Listening for web hooks",
		"The zones that belong to poll: 2\n", "Asking 127.0.0.1:"} {
		assert.Contains(t, text, line)
	}
	assert.Less(t, strings.Index(text, "Listening for web hooks"), strings.Index(text, "Asking 127.0.0.1:"))
	assert.NotContains(t, text, "3f9c0a71d2e84b65")
}

// All of them are shown at once.
func TestListenShowsSeveralWays(t *testing.T) {
	told, hook := listensTwice(t)
	called := make(chan error, 1)
	go func() {
		err := fmt.Errorf("never")
		for range 100 {
			var answer *http.Response
			if answer, err = http.Post(hook, "text/plain", strings.NewReader("open")); err == nil {
				_ = answer.Body.Close()
				break
			}
			time.Sleep(20 * time.Millisecond)
		}
		called <- err
	}()
	text, err := told("listen", "--for", "1500ms")
	require.NoError(t, err)
	require.NoError(t, <-called)
	assert.Regexp(t, `z01 +active`, text)
	assert.Regexp(t, `z02 +restored`, text)
}
