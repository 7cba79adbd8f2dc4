package beforehand

import (
	"strings"
	"testing"

	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

// Of any controller.yaml that is taken, each remark has a place in its file and says what
// to do; a rule that is taken never makes one address of all topics; and a zone that some
// topic reports is not told as out of reach.
func FuzzMap(f *testing.F) {
	f.Add("s/+/state", "z{1}", "x")
	f.Add("+/+", "{2}", "on")
	f.Add("a", "z1", "open")
	s, err := site.Read("site.yaml", []byte(siteHead+twoZones+noBattery))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, topic, address, word string) {
		text := mqttHead + "  signals:\n    - {topic: " + quoted(topic) + ", address: " + quoted(address) + ", active: " +
			quoted(word) + ", restored: \"-\"}\n"
		c, err := listen.Read("controller.yaml", []byte(text), s)
		if err != nil {
			return
		}
		rule := c.MQTT.Signals[0]
		told := ""
		for _, r := range Of(Job{s, c, []byte(text), nil}, today) {
			if r.Line < 1 || r.Column < 1 || r.Do == "" || r.What == "" {
				t.Fatalf("%+v", r)
			}
			told += r.What + "\n"
		}
		if strings.Contains(rule.Topic, "+") && !strings.Contains(rule.Address, "{") {
			t.Fatalf("%q reports %q for all topics", rule.Topic, rule.Address)
		}
		for _, z := range s.Zones {
			level := strings.TrimPrefix(z.Address, "z")
			for _, made := range []string{strings.ReplaceAll(rule.Topic, "+", level),
				strings.ReplaceAll(rule.Topic, "+", z.Address)} {
				got, ok := rule.AddressOf(made)
				if ok && got == z.Address && strings.Contains(told, "can reach zone 1, 9") {
					t.Fatalf("%q reports %q, and zones are told as not reached", made, got)
				}
			}
		}
	})
}

// quoted is a text as YAML takes it in single quotes.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }
