// Package payload turns what a controller sends into a state, by the rules of
// controller.yaml: the same for every way of listening.
package payload

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/go-openapi/jsonpointer"

	"loopwitness/commission/signal"
)

// MaxBytes bounds what is looked at of one payload, and what is read of a body.
const MaxBytes = 256 << 10

// Rule says what payloads mean.
type Rule struct {
	Value  string // JSON Pointer (RFC 6901) into the payload; "" for all of it
	States map[signal.State][]string
}

// State is what a payload means, signal.NotUnderstood if the rule does not say.
func (r Rule) State(payload []byte) signal.State {
	value, ok := r.Text(payload)
	if !ok {
		return signal.NotUnderstood
	}
	for state, words := range r.States {
		if slices.Contains(words, value) {
			return state
		}
	}
	return signal.NotUnderstood
}

// Text is the text that the rule looks at: the payload, or what its pointer
// finds in the JSON text. Numbers stay as they were written.
func (r Rule) Text(payload []byte) (string, bool) {
	if len(payload) > MaxBytes || !utf8.Valid(payload) {
		return "", false
	}
	if r.Value == "" {
		return strings.TrimSpace(string(payload)), true
	}
	pointer, err := jsonpointer.New(r.Value)
	if err != nil {
		return "", false
	}
	var doc any
	dec := json.NewDecoder(bytes.NewReader(payload))
	dec.UseNumber()
	if dec.Decode(&doc) != nil {
		return "", false
	}
	if _, err := dec.Token(); err != io.EOF {
		return "", false
	}
	found, _, err := pointer.Get(doc)
	if err != nil {
		return "", false
	}
	switch v := found.(type) {
	case string:
		return v, true
	case json.Number:
		return v.String(), true
	case bool:
		return fmt.Sprint(v), true
	}
	return "", false
}
