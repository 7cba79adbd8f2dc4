package payload

import (
	"fmt"
	"slices"
	"strings"
)

// Match captures the levels of a topic or a path that the + of a filter stand for, each for all of
// one level (MQTT 3.1.1, 4.7). The filter of a rule holds no #.
func Match(filter, topic string) (captured []string, ok bool) {
	want, got := strings.Split(filter, "/"), strings.Split(topic, "/")
	if len(want) != len(got) {
		return nil, false
	}
	for i, w := range want {
		switch {
		case w == "+":
			captured = append(captured, got[i])
		case w != got[i]:
			return nil, false
		}
	}
	return captured, true
}

// Fill is an address with what was captured in the place of {1}, {2} ….
func Fill(address string, captured []string) string {
	for i, part := range captured {
		address = strings.ReplaceAll(address, fmt.Sprintf("{%d}", i+1), part)
	}
	return address
}

// Says is what a payload means of something that is so or is not, if one of the words is known.
func Says(value string, present, absent []string, payload []byte) (is, known bool) {
	text, ok := Rule{Value: value}.Text(payload)
	switch {
	case !ok:
		return false, false
	case slices.Contains(present, text):
		return true, true
	}
	return false, slices.Contains(absent, text)
}
