package listen

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const (
	longSecret = "kiln-s3cret-of-20-letters"
	oneSignal  = "  signals: [{path: /zone/+, address: \"z{1}\", active: a, restored: b}]\n"
	hookHead   = "listen: webhook\nwebhook:\n  at: 127.0.0.1:8460\n"
	pollHead   = "listen: poll\npoll:\n  url: http://h/status\n"
	onePoll    = "  signals: [{address: z01, value: /1, active: a, restored: b}]\n"
)

// What is wrong with a controller that speaks HTTP is told with its place, and no secret.
func TestWhatIsWrongOverHTTP(t *testing.T) {
	for name, tc := range map[string]struct{ text, says string }{
		"no section": {"listen: webhook\n", `listen: webhook needs "webhook"`},
		"no poll":    {"listen: poll\n", `listen: poll needs "poll"`},
		"no secret":  {hookHead + oneSignal, "webhook has neither secret nor token"},
		"a short secret": {hookHead + "  secret: kiln-s3cret\n" + oneSignal, "4:11: secret is shorter than 12 " +
			"characters"},
		"a short token": {hookHead + "  token: kiln-s3cret\n" + oneSignal, "4:10: token is shorter than 12 characters"},
		"no path": {hookHead + "  secret: kiln-s3cret/and/more\n" + oneSignal, "4:11: the secret cannot " +
			"stand in a path"},
		"no port":    {strings.Replace(hookHead, ":8460", "", 1) + "  token: " + longSecret + "\n" + oneSignal, "3:7: at is no address"},
		"no signals": {hookHead + "  token: " + longSecret + "\n", `webhook has no "signals"`},
		"a key alone": {hookHead + "  token: " + longSecret + "\n  key_file: k\n" + oneSignal, "cert_file and key_file " +
			"need each other"},
		"no pointer": {hookHead + "  token: " + longSecret + "\n  many: list\n" + oneSignal, "5:9: many is no " +
			"JSON Pointer"},
		"an hour and more": {hookHead + "  token: " + longSecret + "\n  repeats_within: 2 h\n" + oneSignal, "5:19: repeats_within is not between"},
		"a path without /": {hookHead + "  token: " + longSecret + "\n" + strings.Replace(oneSignal, "/zone/+", "zone/+", 1), "the path does not begin with /"},
		"a query":          {hookHead + "  token: " + longSecret + "\n" + strings.Replace(oneSignal, "/zone/+", "\"/zone/+?a=1\"", 1), "the path holds what a path cannot"},
		"a level in part":  {hookHead + "  token: " + longSecret + "\n" + strings.Replace(oneSignal, "/zone/+", "/zone+", 1), "+ must stand for a whole level"},
		"no such +":        {hookHead + "  token: " + longSecret + "\n" + strings.Replace(oneSignal, "{1}", "{2}", 1), "{2} needs a + in the path"},
		"one for all":      {hookHead + "  token: " + longSecret + "\n" + strings.Replace(oneSignal, "z{1}", "z01", 1), "would report this one address"},
		"an address nowhere": {hookHead + "  token: " + longSecret + "\n  signals: [{path: /a, address: z99, active: " +
			"a, restored: b}]\n", "no zone of the site file"},
		"here is away": {hookHead + "  token: " + longSecret + "\n" + oneSignal + "  presence: {path: /p, here: a, " +
			"away: a}\n", "its absence would never be known"},
		"+ of presence": {hookHead + "  token: " + longSecret + "\n" + oneSignal + "  presence: {path: /+, here: a, " +
			"away: b}\n", "+ is not taken here"},
		"no scheme": {strings.Replace(pollHead, "http://h/status", "h/status", 1) + onePoll, "3:8: url is no " +
			"address of HTTP"},
		"a password in it": {strings.Replace(pollHead, "http://h", "http://a:kiln-s3cret@h", 1) + onePoll, "3:8: user and password do not belong in url"},
		"too often":        {pollHead + "  every: 10 ms\n" + onePoll, "4:10: every is not between 0.1 s and 10 s"},
		"too patient":      {pollHead + "  timeout: 1 min\n" + onePoll, "4:12: timeout is not between"},
		"a zone nowhere":   {pollHead + strings.Replace(onePoll, "z01", "z99", 1), "no zone of the site file"},
		"no way off": {pollHead + onePoll + "http: {outputs: [{address: chime, url: \"http://h/kiln-s3cret\"}]}\n",
			"it would not fall silent"},
		"nothing to request": {pollHead + onePoll + "http: {outputs: [{address: chime, on_url: \"http://h/kiln-s3cret\"}]}\n",
			"nothing says what to request"},
		"no such output": {pollHead + onePoll + "http: {outputs: [{address: horn, url: \"http://h\", \"on\": 1, " +
			"\"off\": 0}]}\n",
			"no output of the site file"},
		"a strange method": {pollHead + onePoll + "http: {outputs: [{address: chime, method: DELETE, url: " +
			"\"http://h\", \"on\": 1, \"off\": 0}]}\n",
			"that method is not known"},
		"keys cannot": {"listen: keyboard\nhttp: {outputs: [{address: chime, url: \"http://h\", \"on\": 1, \"off\": 0}]}\n",
			"http stands beside a way of listening that has no such outputs"},
		"two ways": {hookHead + "  token: " + longSecret + "\n" + oneSignal + pollHead[len("listen: poll\n"):] + onePoll,
			"poll stands beside another way"},
	} {
		_, err := Read("controller.yaml", []byte(tc.text), demoSite(t))
		require.ErrorIs(t, err, strictyaml.ErrRefused, name)
		assert.ErrorContains(t, err, tc.says, name)
		assert.NotContains(t, err.Error(), "s3cret", name)
	}
}

// A file that holds a secret of any kind must be its owner's alone; files that it names stand beside it.
func TestSecretsOverHTTP(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no such bits")
	}
	path := filepath.Join(t.TempDir(), "controller.yaml")
	outputs := func(login string) string {
		return "http: {" + login + "outputs: [{address: chime, url: \"http://h\", \"on\": 1, \"off\": 0}]}\n"
	}
	for _, text := range []string{hookHead + "  token: " + longSecret + "\n" + oneSignal,
		hookHead + "  secret: " + longSecret + "\n" + oneSignal, pollHead + "  password: k\n" + onePoll,
		pollHead + "  token: k\n" + onePoll, pollHead + onePoll + outputs("password: k, "), hookHead + "  tokne: k\n"} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		require.NoError(t, os.Chmod(path, 0o644))
		_, err := ReadFile(path, demoSite(t))
		if strings.Contains(text, "tokne") {
			assert.Error(t, err)
			continue
		}
		assert.ErrorIs(t, err, ErrExposed, text)
		require.NoError(t, os.Chmod(path, 0o600))
		_, err = ReadFile(path, demoSite(t))
		assert.NoError(t, err, text)
	}
	require.NoError(
		t,
		os.WriteFile(path, []byte(hookHead+"  token: "+longSecret+"\n  cert_file: c.pem\n  key_file: k.pem\n"+
			oneSignal+outputs("ca_file: a.pem, ")), 0o600),
	)
	require.NoError(t, os.Chmod(path, 0o600))
	c, err := ReadFile(path, demoSite(t))
	require.NoError(t, err)
	for want, got := range map[string]string{"c.pem": c.Hook.CertFile, "k.pem": c.Hook.KeyFile, "a.pem": c.HTTP.CAFile} {
		assert.Equal(t, filepath.Join(filepath.Dir(path), want), got)
	}
	assert.Equal(t, 2*time.Second, c.Hook.RepeatsWithin)
}

// Outputs by request are switched beside every way that has signals of its own; over MQTT what it
// switches itself is guarded, and no other.
func TestSourcesThatRequest(t *testing.T) {
	const requests = "http: {outputs: [{address: chime, url: \"http://127.0.0.1:1\", \"on\": 1, \"off\": 0}]}\n"
	broker := "listen: mqtt\nmqtt:\n  broker: tcp://h\n  signals: [{topic: a/+, address: \"z{1}\", active: x, " +
		"restored: y}]\n"
	for name, tc := range map[string]struct {
		text    string
		guarded bool
	}{
		"a hook": {hookHead + "  token: " + longSecret + "\n" + oneSignal + requests, false},
		"a poll": {pollHead + onePoll + requests, false},
		"MQTT":   {broker + requests, true},
	} {
		c, err := Read("controller.yaml", []byte(tc.text), demoSite(t))
		require.NoError(t, err, name)
		source, err := c.Source(demoSite(t), clock.Real{})
		require.NoError(t, err, name)
		chime := &site.Output{Name: "Chime", Address: "chime"}
		s := source.(signal.Switch)
		assert.True(t, s.CanEnergise(chime), name)
		assert.False(t, s.CanEnergise(&site.Output{Name: "Other", Address: "other"}), name)
		assert.Error(t, s.Energise(t.Context(), chime, true), name)
		guarded, can := source.(signal.Guarded)
		assert.Equal(t, tc.guarded, can, name)
		if can {
			_, err := guarded.GuardOff(t.Context(), chime, nil)
			assert.ErrorIs(t, err, errNoWill)
		}
		assert.NoError(t, source.Close(), name)
	}
}
