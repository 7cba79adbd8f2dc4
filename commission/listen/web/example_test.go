package web

import (
	"net/http"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/signal"
)

// The line that is shown to try a hook does report the address, as a shell reads it.
func TestTheLineToTryItWorks(t *testing.T) {
	outsidetool.Find(t, "curl")
	for name, tc := range map[string]struct {
		change func(*HookConfig)
		ok     bool
	}{
		"plain":            {func(c *HookConfig) { c.Signals = c.Signals[:1] }, true},
		"JSON":             {func(c *HookConfig) { c.Signals = c.Signals[1:2] }, true},
		"an address in it": {func(c *HookConfig) { c.Signals = c.Signals[2:] }, true},
		"many":             {func(c *HookConfig) { c.Signals, c.Many = c.Signals[2:], "/all/events" }, true},
		"deeper":           {func(c *HookConfig) { c.Signals = c.Signals[2:]; c.Signals[0].Value = "/new/a~1b/state" }, true},
		"quotes":           {func(c *HookConfig) { c.Signals = c.Signals[:1]; c.Signals[0].States[signal.Active][0] = "it's open" }, true},
		"written out":      {func(c *HookConfig) { c.Signals = c.Signals[:1]; c.Signals[0].Path, c.Signals[0].Address = "/a", "z7" }, true},
		"only a secret":    {func(c *HookConfig) { c.Token = "" }, true},
		"only a token":     {func(c *HookConfig) { c.Secret = "" }, true},
		"another address":  {func(c *HookConfig) { c.Signals = c.Signals[:1]; c.Signals[0].Address = "y{1}" }, false},
	} {
		c := hookConfig()
		tc.change(&c)
		h, to, _ := serving(t, c)
		c.At = h.Addr().String()
		line, ok := c.Curl("z7", true)
		assert.Equal(t, tc.ok, ok, name)
		if !ok {
			continue
		}
		out, err := exec.CommandContext(t.Context(), "sh", "-c", line).CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
		assert.Equal(t, []string{"z7 active"}, to.all(), "%s: %s: %s", name, line, out)
		shown, _ := c.Curl("z7", false)
		assert.NotContains(t, shown, "kiln", name)
	}
	at := HookConfig{At: "0.0.0.0:8460"}
	assert.Equal(t, "127.0.0.1:8460", at.reached())
	assert.Equal(t, "check addresses and files in controller.yaml", Advice(http.ErrBodyNotAllowed))
}
