package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/testbroker"
)

// A wrong topic is seen before a visit begins: nothing came from it, and something came
// beside it.
func TestSiteCheckConnects(t *testing.T) {
	s := testbroker.Run(t, testbroker.Options{User: "witness", Password: "kiln-s3cret"})
	for topic, text := range map[string]string{"studio/zone1/state": "open", "studio/z/2": "OPEN", "studio/z/77": "closed"} {
		require.NoError(t, s.Publish(topic, []byte(text), true, 0))
	}
	dir := t.TempDir()
	data, err := demoFiles.ReadFile("demo/site.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), data, 0o600))
	check := func(password string) (string, string, error) {
		controller := "listen: mqtt\nmqtt:\n  broker: tcp://" + s.Address + "\n  user: witness\n  password: " + password +
			"\n  signals:\n    - {topic: studio/z1/state, address: z01, active: open, restored: closed}\n" +
			"    - {topic: studio/z/+, address: \"z0{1}\", active: open, restored: closed}\n"
		require.NoError(t, os.WriteFile(filepath.Join(dir, "controller.yaml"), []byte(controller), 0o600))
		out, err := os.CreateTemp(dir, "out")
		require.NoError(t, err)
		var errs bytes.Buffer
		root := newRoot(streams{in: os.Stdin, out: out, err: &errs, lost: new(error)})
		root.SetArgs([]string{"site", "check", "--job", dir, "--connect", "--for", "300ms"})
		failed := root.ExecuteContext(context.Background())
		told, err := os.ReadFile(out.Name())
		require.NoError(t, err)
		return string(told), errs.String(), failed
	}
	told, _, err := check("kiln-s3cret")
	assert.ErrorIs(t, err, errCannotWork, "zones above 9 have no signal")
	for _, line := range []string{"studio/z1/state  nothing ever came", "studio/z/+       2 topics, kept by the " +
		"broker only",
		`studio/z/77 reports the address "z077", which no zone has`,
		`studio/z/2 said "OPEN", which controller.yaml does not know`, "Zones from which something came: 2\n",
		"Zones from which nothing came: 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12\n",
		"no rule of controller.yaml is about; is one of them meant where nothing came?\n  studio/zone1/state kept " +
			"\"open\"\n"} {
		assert.Contains(t, told, line)
	}
	assert.NotContains(t, told, "s3cret")
	told, _, err = check("wrong-s3cret")
	assert.ErrorContains(t, err, "check user and password in controller.yaml")
	assert.NotContains(t, told+err.Error(), "s3cret")
}
