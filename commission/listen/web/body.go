package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"mime"
	"net/url"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-openapi/jsonpointer"

	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

const (
	mostBytes  = payload.MaxBytes // of a body
	mostItems  = 1000             // signals in one call
	mostFields = 200              // of a form
	maxRaw     = 120              // bytes of a body that are kept
)

var (
	errType    = errors.New("the content type is neither JSON, nor a form, nor plain text in UTF-8")
	errForm    = errors.New("the body is no form in which each field stands once")
	errPlain   = errors.New("the body is no text in UTF-8")
	errMany    = errors.New("the list of signals is not where it should be")
	errTooMany = errors.New("too many signals in one call")
)

// kind is how a body is to be read.
type kind int

const (
	plain kind = iota
	asJSON
	asForm
)

// kindOf reads a content type; none is plain text.
func kindOf(contentType string) (kind, error) {
	if contentType == "" {
		return plain, nil
	}
	media, parameters, err := mime.ParseMediaType(contentType)
	charset := strings.ToLower(parameters["charset"])
	switch {
	case err != nil, charset != "" && charset != "utf-8" && charset != "us-ascii":
		return plain, errType
	case media == "application/json", strings.HasSuffix(media, "+json"):
		return asJSON, nil
	case media == "application/x-www-form-urlencoded":
		return asForm, nil
	case media == "text/plain":
		return plain, nil
	}
	return plain, errType
}

// items are the payloads of a body, to be read one by one in their order: the items of a list, else
// the body itself. A form becomes a JSON object. pointed tells that the rules look into JSON, so that
// a plain body that looks like it is held against the same bounds.
func items(body []byte, k kind, many string, pointed bool) ([][]byte, error) {
	switch k {
	case asForm:
		var err error
		if body, err = formed(body); err != nil {
			return nil, err
		}
		return [][]byte{body}, nil
	case plain:
		if !utf8.Valid(body) {
			return nil, errPlain
		}
		if !pointed || !looksLikeJSON(body) {
			return [][]byte{body}, nil
		}
	}
	if err := payload.Strict(body); err != nil {
		return nil, err
	}
	if many == "" && bytes.TrimLeft(body, " \t\r\n")[0] != '[' {
		return [][]byte{body}, nil
	}
	return listed(body, many)
}

// looksLikeJSON tells whether a body begins as an object or a list; no form does.
func looksLikeJSON(body []byte) bool {
	first := bytes.TrimLeft(body, " \t\r\n")
	return len(first) > 0 && (first[0] == '{' || first[0] == '[')
}

// listed are the items of the list at a pointer.
func listed(body []byte, many string) ([][]byte, error) {
	found, err := at(body, many)
	list, is := found.([]any)
	switch {
	case err != nil, !is:
		return nil, errMany
	case len(list) > mostItems:
		return nil, errTooMany
	}
	all := make([][]byte, len(list))
	for i, item := range list {
		if text, is := item.(string); is {
			all[i] = []byte(text) // as a plain body would say it
			continue
		}
		if all[i], err = json.Marshal(item); err != nil {
			return nil, errMany
		}
	}
	return all, nil
}

// at is what stands at a pointer in a JSON text; numbers stay as they were written.
func at(text []byte, pointer string) (any, error) {
	var doc any
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := dec.Decode(&doc); err != nil {
		return nil, err
	}
	p, err := jsonpointer.New(pointer)
	if err != nil {
		return nil, err
	}
	found, _, err := p.Get(doc)
	return found, err
}

// formed is a form as a JSON object of texts.
func formed(body []byte) ([]byte, error) {
	fields, err := url.ParseQuery(strings.TrimSpace(string(body)))
	if err != nil || len(fields) > mostFields {
		return nil, errForm
	}
	object := map[string]string{}
	for name, values := range fields {
		if len(values) != 1 || !utf8.ValidString(name) || !utf8.ValidString(values[0]) {
			return nil, errForm
		}
		object[name] = values[0]
	}
	return json.Marshal(object)
}

// told is what one item says.
type told struct {
	whole   string // the item as it came
	signals []signal.Signal
	system  []signal.System
	// here is what it says of the controller's presence, nil for nothing.
	here *bool
	// ruled tells that a rule is about the path, and garbled that one of them knows what to look at
	// and not what it finds.
	ruled, garbled bool
}

// read is what an item says that came on a path. A rule whose address is not in the item says nothing.
func (c *HookConfig) read(path string, item []byte) told {
	t := told{whole: string(item)}
	raw := quoted(item)
	for _, rule := range c.Signals {
		captured, about := payload.Match(rule.Path, path)
		if !about {
			continue
		}
		t.ruled = true
		address := payload.Fill(rule.Address, captured)
		if strings.HasPrefix(rule.Address, "/") {
			var there bool
			if address, there = (payload.Rule{Value: rule.Address}).Text(item); !there {
				t.garbled = true
				continue
			}
		}
		state := rule.State(item)
		t.garbled = t.garbled || state == signal.NotUnderstood
		t.signals = append(t.signals, signal.Signal{Address: address, State: state, Raw: raw})
	}
	for _, rule := range c.System {
		if _, about := payload.Match(rule.Path, path); !about {
			continue
		}
		t.ruled = true
		if present, known := payload.Says(rule.Value, rule.Present, rule.Absent, item); known {
			t.system = append(t.system, signal.System{Aspect: rule.Aspect, Present: present, Raw: raw})
		}
	}
	if p := c.Presence; p != nil && p.Path == path {
		t.ruled = true
		if here, known := payload.Says(p.Value, []string{p.Here}, []string{p.Away}, item); known {
			t.here = &here
		}
	}
	return t
}

// said tells whether anything was understood as being of something.
func (t told) said() bool { return len(t.signals) > 0 || len(t.system) > 0 || t.here != nil }

// ruled tells whether any rule is about a path, and whether one of them looks into JSON.
func (c *HookConfig) ruled(path string) (ruled, pointed bool) {
	about := func(filter string, values ...string) {
		if _, is := payload.Match(filter, path); !is {
			return
		}
		ruled = true
		for _, v := range values {
			pointed = pointed || strings.HasPrefix(v, "/")
		}
	}
	for _, r := range c.Signals {
		about(r.Path, r.Value, r.Address)
	}
	for _, r := range c.System {
		about(r.Path, r.Value)
	}
	if p := c.Presence; p != nil {
		about(p.Path, p.Value)
	}
	return ruled, pointed || c.Many != "" || strings.HasPrefix(c.ID, "/")
}

// quoted is a payload in quotes, so that no byte of it can disturb a screen, shortened.
func quoted(text []byte) string {
	if len(text) <= maxRaw {
		return strconv.Quote(string(text))
	}
	return strconv.Quote(string(text[:maxRaw])) + "…"
}
