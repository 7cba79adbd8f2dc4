package listen

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

func demoSite(t testing.TB) *site.Site {
	t.Helper()
	data, err := os.ReadFile("../../cmd/loopwitness/demo/site.yaml")
	require.NoError(t, err)
	s, err := site.Read("site.yaml", data)
	require.NoError(t, err)
	return s
}

const secret = "kiln-s3cret"

func TestErrorsShowPlaceAndKeyButNoSecret(t *testing.T) {
	for name, tc := range map[string]struct {
		text string
		says []string
	}{
		"unknown key": {"listen: mqtt\nmqtt:\n  broker: tcp://h\n  pasword: kiln-s3cret\n" +
			"  signals: [{topic: a/+, address: \"z{1}\", active: x, restored: y}]\n",
			[]string{`controller.yaml:4:3: unknown key "pasword"`, `"password"`}},
		"password in address": {"listen: mqtt\nmqtt:\n  broker: tcp://u:kiln-s3cret@h\n" +
			"  signals: [{topic: a/+, address: \"z{1}\", active: x, restored: y}]\n",
			[]string{"controller.yaml:3:11: user and password do not belong"}},
		"not YAML": {"listen: mqtt\nmqtt: {password: kiln-s3cret\n",
			[]string{"controller.yaml:", "not valid YAML"}},
		"payload twice": {"listen: mqtt\nmqtt:\n  broker: tcp://h\n  password: kiln-s3cret\n" +
			"  signals: [{topic: a, address: z01, active: x, restored: x}]\n",
			[]string{"5:59: this payload already means another state"}},
		"address of nothing": {"listen: mqtt\nmqtt:\n  broker: tcp://h\n" +
			"  signals: [{topic: a, address: z99, active: x, restored: y}]\n" +
			"  outputs: [{address: horn, topic: b, on: kiln-s3cret, off: y}]\n",
			[]string{"4:33: no zone", "5:23: no output"}},
		"wildcards": {"listen: mqtt\nmqtt:\n  broker: udp://h\n" +
			"  signals: [{topic: a/#, address: z01, active: x, restored: y}, " +
			"{topic: a, address: \"{1}\", active: x, restored: y}]\n",
			[]string{"3:11: the broker's address", "4:21: # is not taken", "needs a + in the topic"}},
		"no signals": {"listen: mqtt\nmqtt: {broker: tcp://h, password: kiln-s3cret}\n",
			[]string{`mqtt has no "signals"`}},
		"way": {"listen: kiln-s3cret\n", []string{"1:9: that way of listening is not known"}},
		"faults": {"listen: simulated\nsimulated: {seed: -1, battery: flat, " +
			"faults: [{at: \"99.1\", fault: loud}, {at: \"1.1\", fault: swapped}]}\n",
			[]string{"seed is no whole number", "that state of the battery", "the site has no detector 99.1",
				"that fault is not known", "a swapped zone needs"}},
		"mqtt without section": {"listen: mqtt\n", []string{`listen: mqtt needs "mqtt"`}},
	} {
		_, err := Read("controller.yaml", []byte(tc.text), demoSite(t))
		require.ErrorIs(t, err, strictyaml.ErrRefused, name)
		for _, says := range tc.says {
			assert.ErrorContains(t, err, says, name)
		}
		assert.NotContains(t, err.Error(), secret, name)
	}
}

func TestFileThatOthersMayReadIsRefused(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no such bits")
	}
	path := filepath.Join(t.TempDir(), "controller.yaml")
	require.NoError(t, os.WriteFile(path, []byte("listen: keyboard\n# pasword: kiln\n"), 0o644))
	c, err := ReadFile(path, demoSite(t))
	require.NoError(t, err, "it holds no secret")
	assert.Equal(t, Keyboard, c)
	require.NoError(t, os.WriteFile(path, []byte("listen: mqtt\nmqtt: {pasword: kiln}\n"), 0o644))
	_, err = ReadFile(path, demoSite(t))
	require.ErrorIs(t, err, ErrExposed)
	assert.ErrorContains(t, err, "chmod 600")
	assert.NotContains(t, err.Error(), "kiln")
}

func TestSources(t *testing.T) {
	s := demoSite(t)
	for _, text := range []string{
		"listen: keyboard\n",
		"listen: simulated\nsimulated: {seed: 7, faults: [{at: \"3.3\", fault: swapped, with: 1, trials: 2}]}\n",
		"listen: mqtt\nmqtt:\n  broker: tls://h\n  ca_file: ca.pem\n" +
			"  signals: [{topic: a/+, address: \"z{1}\", active: [x], restored: [y], tamper: t}]\n" +
			"  presence: {topic: b, here: up, away: down}\n",
	} {
		c, err := Read("controller.yaml", []byte(text), s)
		require.NoError(t, err, text)
		source, err := c.Source(s, clock.Real{})
		require.NoError(t, err)
		assert.NoError(t, source.About().Check())
		assert.NotZero(t, source.About().UncertaintyNS)
	}
}

func FuzzRead(f *testing.F) {
	data, err := os.ReadFile("../../cmd/loopwitness/demo/site.yaml")
	if err != nil {
		f.Fatal(err)
	}
	s, err := site.Read("site.yaml", data)
	if err != nil {
		f.Fatal(err)
	}
	f.Add("listen: mqtt\nmqtt:\n  broker: tcp://h\n  signals: [{topic: a/+, address: \"z{1}\", active: x, restored: y}]\n")
	f.Add("listen: simulated\nsimulated: {faults: [{at: \"1.1\"}]}\n")
	f.Fuzz(func(t *testing.T, text string) {
		if c, err := Read("controller.yaml", []byte(text), s); err == nil {
			if _, err := c.Source(s, clock.Real{}); err != nil {
				t.Fatal(err)
			}
		}
	})
}
