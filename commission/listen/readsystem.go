package listen

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
)

// system reads where the controller tells something of itself.
func (r *reader) system(item *yaml.Node) mqtt.SystemRule {
	f := r.item(item, "mqtt.system[]", "system")
	rule := mqtt.SystemRule{Aspect: signal.Aspect(f.need("of")), Topic: r.topic(f, true), Value: f.Text("value")}
	rule.Present, rule.Absent = r.said(f, rule.Aspect, rule.Value)
	return rule
}

// said reads what payloads say of an aspect of the controller.
func (r *reader) said(f section, of signal.Aspect, value string) (present, absent []string) {
	if of != "" && !slices.Contains(signal.Aspects, of) {
		r.Problem(f.Node("of"), "a controller is not known to tell that of itself", "one of: "+strings.Join(aspects(), ", "))
	}
	r.claim(f, "of", string(of))
	r.pointer(f, value)
	seen := map[string]bool{}
	for key, to := range map[string]*[]string{"present": &present, "absent": &absent} {
		for _, word := range f.List(key) {
			*to = append(*to, r.Scalar(word, "a payload"))
		}
		if len(*to) == 0 {
			r.Problem(f.Where(key), fmt.Sprintf("system has no %q", key), key+": "+keys.At(f.at(key)).Need)
		}
	}
	for _, word := range slices.Concat(present, absent) {
		if seen[word] {
			r.Problem(f.Where("absent"), "a payload stands twice", "let each mean one thing")
		}
		seen[word] = true
	}
	return present, absent
}
