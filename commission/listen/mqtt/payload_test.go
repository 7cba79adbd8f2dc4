package mqtt

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

// What a payload says, by each rule that there can be. Whatever no rule names exactly is
// not understood, never a state.
func TestFromPayloadToState(t *testing.T) {
	states := map[signal.State][]string{
		signal.Active: {"open", "1", "true"}, signal.Restored: {"closed", "0", "false"}, signal.Tamper: {"tamper"},
		signal.Trouble: {"low battery"},
	}
	const most = 64 << 10 // bytes
	padded := func(text string, size int) string { return text + strings.Repeat(" ", size-len(text)) }
	for name, tc := range map[string]struct {
		pointer, payload string
		state            signal.State
	}{
		"a word":                         {"", "open", signal.Active},
		"another":                        {"", "closed", signal.Restored},
		"tamper":                         {"", "tamper", signal.Tamper},
		"trouble, of two words":          {"", "low battery", signal.Trouble},
		"with white space about it":      {"", "\t open \r\n", signal.Active},
		"in capitals":                    {"", "OPEN", signal.NotUnderstood},
		"a part of a word":               {"", "opened", signal.NotUnderstood},
		"empty":                          {"", "", signal.NotUnderstood},
		"no text":                        {"", "open\xff", signal.NotUnderstood},
		"as long as may be":              {"", padded("open", most), signal.Active},
		"longer by a byte":               {"", padded("open", most+1), signal.NotUnderstood},
		"quoted, without pointer":        {"", `"open"`, signal.NotUnderstood},
		"JSON text":                      {"/s", `{"s":"open"}`, signal.Active},
		"JSON number":                    {"/s", `{"s":1}`, signal.Active},
		"JSON number, written at length": {"/s", `{"s":1.0}`, signal.NotUnderstood},
		"JSON true":                      {"/s", `{"s":true}`, signal.Active},
		"JSON false":                     {"/s", `{"s":false}`, signal.Restored},
		"JSON null":                      {"/s", `{"s":null}`, signal.NotUnderstood},
		"JSON list":                      {"/s", `{"s":["open"]}`, signal.NotUnderstood},
		"in a list":                      {"/s/1", `{"s":["closed","open"]}`, signal.Active},
		"JSON text keeps its spaces":     {"/s", `{"s":" open"}`, signal.NotUnderstood},
		"nothing there":                  {"/s", `{"t":"open"}`, signal.NotUnderstood},
		"no JSON":                        {"/s", "open", signal.NotUnderstood},
		"JSON that is cut":               {"/s", `{"s":"open"`, signal.NotUnderstood},
		"JSON and more":                  {"/s", `{"s":"open"} {"s":"closed"}`, signal.NotUnderstood},
		"JSON and rubbish":               {"/s", `{"s":"open"}]`, signal.NotUnderstood},
		"JSON with white space":          {"/s", "{\"s\":\"open\"}\n ", signal.Active},
		"JSON that is no text":           {"/s", "{\"s\":\"open\",\"t\":\"\xff\"}", signal.NotUnderstood},
		"JSON, as long as may be":        {"/s", padded(`{"s":"open"}`, most), signal.Active},
		"JSON, longer by a byte":         {"/s", padded(`{"s":"open"}`, most+1), signal.NotUnderstood},
		"a pointer that is none":         {"s", `{"s":"open"}`, signal.NotUnderstood},
	} {
		r := SignalRule{Value: tc.pointer, States: states}
		assert.Equal(t, tc.state, r.state([]byte(tc.payload)), name)
	}
}

// What cannot be read has no value at all: a rule for the empty word must not take it.
func TestWhatCannotBeReadIsNotTheEmptyWord(t *testing.T) {
	empty := map[signal.State][]string{signal.Restored: {""}}
	assert.Equal(t, signal.Restored, (&SignalRule{States: empty}).state(nil))
	for _, tc := range [][2]string{{"", "\xff"}, {"", strings.Repeat(" ", 64<<10+1)}, {"s", "{}"}, {"s", `""`}, {"/s",
		"{"}, {"/s", "{} {}"}, {"/s", "{}"}, {"/s", `{"s":null}`}} {
		r := SignalRule{Value: tc[0], States: empty}
		assert.Equal(t, signal.NotUnderstood, r.state([]byte(tc[1])), tc)
	}
}

// One message may be about several addresses, or about none.
func TestWhichRulesAreAboutATopic(t *testing.T) {
	words := map[signal.State][]string{signal.Active: {"1"}}
	c := Config{Signals: []SignalRule{
		{Topic: "studio/+/zone/+", Address: "{1}-{2}", States: words},
		{Topic: "studio/north/zone/7", Address: "seven", States: words},
		{Topic: "studio/+/zone/7", Address: "any", States: map[signal.State][]string{signal.Restored: {"1"}}},
	}}
	for topic, want := range map[string][]told{
		"studio/north/zone/7":   {{"north-7", signal.Active}, {"seven", signal.Active}, {"any", signal.Restored}},
		"studio/south/zone/8":   {{"south-8", signal.Active}},
		"studio/south/zone":     nil,
		"studio/south/zone/8/x": nil,
		"Studio/south/zone/8":   nil,
		"yard/south/zone/8":     nil,
		"studio/south/area/8":   nil,
		"studio//zone/":         {{"-", signal.Active}},
	} {
		assert.Equal(t, want, c.read(topic, []byte("1")), topic)
	}
}

// A payload is shown quoted and cut at 120 bytes.
func TestShortened(t *testing.T) {
	for payload, want := range map[string]string{
		"on":                     `"on"`,
		"\x1b[2J\n":              `"\x1b[2J\n"`,
		"\xff":                   `"\xff"`,
		strings.Repeat("a", 120): `"` + strings.Repeat("a", 120) + `"`,
		strings.Repeat("a", 121): `"` + strings.Repeat("a", 120) + `"…`,
	} {
		assert.Equal(t, want, shortened([]byte(payload)))
	}
}

func TestAbout(t *testing.T) {
	about := New(Config{Broker: &url.URL{Scheme: "tcp", Host: "kiln.example:1883"}, User: "ada", Password: "s3cret"}, clock.Real{}).About()
	assert.Equal(t, (50 * time.Millisecond).Nanoseconds(), about.UncertaintyNS)
	assert.False(t, about.Simulated)
	assert.False(t, about.ByHand)
	for _, secret := range []string{"kiln.example", "ada", "s3cret"} {
		assert.NotContains(t, string(about.Way)+string(about.TimedBy), secret)
	}
}

// TLS 1.2 at least (RFC 8996 forbids 1.0 and 1.1; from memory), for the broker's own name.
func TestTLSOptions(t *testing.T) {
	tcp, err := New(Config{Broker: &url.URL{Scheme: "tcp", Host: "h:1883"}}, clock.Real{}).options()
	require.NoError(t, err)
	assert.Nil(t, tcp.TLSConfig)
	tls, err := New(Config{Broker: &url.URL{Scheme: "tls", Host: "h.example:8883"}}, clock.Real{}).options()
	require.NoError(t, err)
	assert.Equal(t, "h.example", tls.TLSConfig.ServerName)
	assert.EqualValues(t, 0x0303, tls.TLSConfig.MinVersion)
	assert.False(t, tls.TLSConfig.InsecureSkipVerify)
	assert.Nil(t, tls.TLSConfig.RootCAs, "those of the computer")

	rubbish := filepath.Join(t.TempDir(), "ca.pem")
	require.NoError(t, os.WriteFile(rubbish, []byte("no certificate"), 0o600))
	_, err = New(Config{Broker: &url.URL{Scheme: "tls", Host: "h:8883"}, CAFile: rubbish}, clock.Real{}).options()
	assert.ErrorContains(t, err, "holds no certificate in PEM form")
}
