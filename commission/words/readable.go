package words

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/kit/screen"
)

// readable is what a controller sent, for a reader who knows no JSON: an object as its
// keys with their values, a text in quotation marks.
func readable(raw string) string {
	var value any
	dec := json.NewDecoder(strings.NewReader(raw))
	dec.UseNumber()
	if dec.Decode(&value) != nil || dec.More() {
		return "“" + brief(raw) + "”"
	}
	return brief(plainly(value))
}

func plainly(value any) string {
	var parts []string
	switch v := value.(type) {
	case map[string]any:
		for key, each := range v {
			parts = append(parts, key+": "+plainly(each))
		}
		slices.Sort(parts)
	case []any:
		for _, each := range v {
			parts = append(parts, plainly(each))
		}
	case nil:
		return "nothing"
	case string:
		return "“" + v + "”"
	default:
		return fmt.Sprint(v)
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}

// brief cuts what is too long to be read.
func brief(text string) string {
	const most = 80
	runes := []rune(screen.Clean(text))
	if len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return string(runes)
}
