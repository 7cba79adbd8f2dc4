package payload

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// MostDepth is how deep lists and objects of a JSON text may stand in each other.
const MostDepth = 64

// What Strict refuses. No error shows a part of the text.
var (
	ErrNotJSON = errors.New("the body is no JSON text")
	ErrDeep    = fmt.Errorf("the JSON text is deeper than %d levels", MostDepth)
	ErrTwice   = errors.New("a key stands twice in one object of the JSON text")
)

// Strict refuses a text that is not exactly one JSON value in UTF-8, that is too deep, or in which a
// key of an object stands twice: readers would differ in what it says (RFC 8259, 4).
func Strict(text []byte) error {
	if !utf8.Valid(text) {
		return ErrNotJSON
	}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var open []level
	for begun := false; !begun || len(open) > 0; begun = true {
		token, err := dec.Token()
		if err != nil {
			return ErrNotJSON
		}
		if open, err = within(open, token); err != nil {
			return err
		}
	}
	if _, err := dec.Token(); err != io.EOF {
		return ErrNotJSON
	}
	return nil
}

// level is an object or list that is open.
type level struct {
	keys  map[string]bool // nil for a list
	value bool            // the next token of the object is a value
}

// within takes one token.
func within(open []level, token json.Token) ([]level, error) {
	if d, is := token.(json.Delim); is && (d == '}' || d == ']') {
		return open[:len(open)-1], nil
	}
	if n := len(open); n > 0 && open[n-1].keys != nil {
		in := &open[n-1]
		if key, is := token.(string); is && !in.value {
			if in.keys[key] {
				return open, ErrTwice
			}
			in.keys[key], in.value = true, true
			return open, nil
		}
		in.value = false
	}
	if d, is := token.(json.Delim); is {
		if len(open) == MostDepth {
			return open, ErrDeep
		}
		next := level{}
		if d == '{' {
			next.keys = map[string]bool{}
		}
		open = append(open, next)
	}
	return open, nil
}
