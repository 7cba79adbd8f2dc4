package bench

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/go-openapi/jsonpointer"

	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// text is what stands on one topic or path, or in one answer: the whole of it, or values at JSON Pointers
// (RFC 6901). Where several rules look at one text, each finds its own.
type text struct {
	whole string
	at    map[string]any
}

// put lets a value stand at a pointer, "" for the whole text.
func (t *text) put(pointer string, value any) {
	if pointer == "" {
		t.whole = fmt.Sprint(value)
		return
	}
	if t.at == nil {
		t.at = map[string]any{}
	}
	t.at[pointer] = value
}

// bytes are the text as it is sent. Parts of pointers that are numbers are names of objects: a reader
// finds them there, too.
func (t *text) bytes() []byte {
	if len(t.at) == 0 {
		return []byte(t.whole)
	}
	root := map[string]any{}
	for _, at := range slices.Sorted(maps.Keys(t.at)) {
		p, err := jsonpointer.New(at)
		if err != nil {
			continue // the file's reader has refused it
		}
		in, parts := root, p.DecodedTokens()
		for _, part := range parts[:len(parts)-1] {
			next, is := in[part].(map[string]any)
			if !is {
				next = map[string]any{}
				in[part] = next
			}
			in = next
		}
		in[parts[len(parts)-1]] = t.at[at]
	}
	data, _ := json.Marshal(root) // texts, numbers and lists of them
	return data
}

// word is how a rule has a state said; tamper and trouble are said as active where it has no word for them.
func word(r payload.Rule, s signal.State) (string, bool) {
	words := r.States[s]
	if len(words) == 0 && (s == signal.Tamper || s == signal.Trouble) {
		words = r.States[signal.Active]
	}
	if len(words) == 0 {
		return "", false
	}
	return words[0], true
}

// said is how a rule has it said that something is so, or is not.
func said(present, absent []string, is bool) string {
	if is {
		return present[0]
	}
	return absent[0]
}

var placeholder = regexp.MustCompile(`\\\{([0-9]+)\\\}`)

// reporting is the topic, or the path, on which a rule with this filter reports an address; none where it
// never does. What the address does not tell of the filter's levels is 1.
func reporting(filter, template, address string) (topic string, ok bool) {
	var order []int
	pattern := placeholder.ReplaceAllStringFunc(regexp.QuoteMeta(template), func(m string) string {
		n, _ := strconv.Atoi(placeholder.FindStringSubmatch(m)[1])
		order = append(order, n)
		return `([^/+#]*)`
	})
	whole, err := regexp.Compile("^" + pattern + "$")
	if err != nil {
		return "", false
	}
	parts := whole.FindStringSubmatch(address)
	if parts == nil {
		return "", false
	}
	levels, wild := strings.Split(filter, "/"), 0
	for i, level := range levels {
		if level != "+" {
			continue
		}
		wild++
		levels[i] = "1"
		if at := slices.Index(order, wild); at >= 0 {
			levels[i] = parts[1+at]
		}
	}
	topic = strings.Join(levels, "/")
	captured, matches := payload.Match(filter, topic)
	return topic, matches && payload.Fill(template, captured) == address
}

// known remembers what reporting has found.
type known map[[3]string]found

type found struct {
	topic string
	is    bool
}

func (k known) reporting(filter, template, address string) (topic string, ok bool) {
	of := [3]string{filter, template, address}
	f, is := k[of]
	if !is {
		f.topic, f.is = reporting(filter, template, address)
		k[of] = f
	}
	return f.topic, f.is
}

// written is a filter with something in the place of each +.
func written(filter string) string {
	levels := strings.Split(filter, "/")
	for i := range levels {
		if levels[i] == "+" {
			levels[i] = "1"
		}
	}
	return strings.Join(levels, "/")
}
