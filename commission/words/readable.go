package words

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/kit/screen"
)

// Readable is what a controller sent, for a reader who knows no JSON: an object as its
// keys with their values, a text in quotation marks; nothing is the word for none.
func (q Quotation) Readable(raw, nothing string) string {
	var value any
	dec := json.NewDecoder(strings.NewReader(raw))
	dec.UseNumber()
	if dec.Decode(&value) != nil || dec.More() {
		return q.Open + Brief(raw) + q.Close
	}
	return Brief(q.plainly(value, nothing))
}

func (q Quotation) plainly(value any, nothing string) string {
	var parts []string
	switch v := value.(type) {
	case map[string]any:
		for key, each := range v {
			parts = append(parts, key+": "+q.plainly(each, nothing))
		}
		slices.Sort(parts)
	case []any:
		for _, each := range v {
			parts = append(parts, q.plainly(each, nothing))
		}
	case nil:
		return nothing
	case string:
		return q.Open + v + q.Close
	default:
		return fmt.Sprint(v)
	}
	if len(parts) == 0 {
		return nothing
	}
	return strings.Join(parts, ", ")
}

// Brief cuts what is too long to be read.
func Brief(text string) string {
	const most = 80
	runes := []rune(screen.Clean(text))
	if len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return string(runes)
}
