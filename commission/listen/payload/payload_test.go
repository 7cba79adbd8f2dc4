package payload

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// What a payload says, by each rule that there can be. Whatever no rule names exactly is
// not understood, never a state.
func TestFromPayloadToState(t *testing.T) {
	states := map[signal.State][]string{
		signal.Active: {"open", "1", "true"}, signal.Restored: {"closed", "0", "false"}, signal.Tamper: {"tamper"},
		signal.Trouble: {"low battery"},
	}
	const most = 256 << 10 // bytes
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
		r := Rule{Value: tc.pointer, States: states}
		assert.Equal(t, tc.state, r.State([]byte(tc.payload)), name)
	}
}

// What cannot be read has no value at all: a rule for the empty word must not take it.
func TestWhatCannotBeReadIsNotTheEmptyWord(t *testing.T) {
	empty := map[signal.State][]string{signal.Restored: {""}}
	assert.Equal(t, signal.Restored, Rule{States: empty}.State(nil))
	for _, tc := range [][2]string{{"", "\xff"}, {"", strings.Repeat(" ", 256<<10+1)}, {"s", "{}"}, {"s", `""`}, {"/s",
		"{"}, {"/s", "{} {}"}, {"/s", "{}"}, {"/s", `{"s":null}`}} {
		r := Rule{Value: tc[0], States: empty}
		assert.Equal(t, signal.NotUnderstood, r.State([]byte(tc[1])), tc)
	}
}

// JSON Pointer: RFC 6901 section 5, looked up.
func TestValuesByJSONPointer(t *testing.T) {
	const doc = `{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\j":5,"k\"l":6," ":7,"m~n":8}`
	for pointer, want := range map[string]string{
		"/foo/0": "bar", "/": "0", "/a~1b": "1", "/c%d": "2", "/e^f": "3", "/g|h": "4", `/i\j`: "5", `/k"l`: "6",
		"/ ": "7", "/m~0n": "8",
	} {
		got, ok := Rule{Value: pointer}.Text([]byte(doc))
		assert.True(t, ok, pointer)
		assert.Equal(t, want, got, pointer)
	}
	for _, bad := range []string{"/foo", "/foo/2", "/none"} {
		_, ok := Rule{Value: bad}.Text([]byte(doc))
		assert.False(t, ok, bad)
	}
	got, ok := Rule{}.Text([]byte(" ON\n"))
	assert.True(t, ok)
	assert.Equal(t, "ON", got)
}

func FuzzPayload(f *testing.F) {
	f.Add([]byte(`{"state":"open"}`), "/state")
	f.Add([]byte("\xff[[[["), "")
	f.Fuzz(func(t *testing.T, payload []byte, pointer string) {
		r := Rule{Value: pointer,
			States: map[signal.State][]string{signal.Active: {"open", "1"}, signal.Restored: {"closed", "0"}}}
		switch r.State(payload) {
		case signal.Active, signal.Restored, signal.NotUnderstood:
		default:
			t.Fatal("a state that no rule names")
		}
	})
}
