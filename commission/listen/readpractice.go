package listen

import (
	"slices"
	"strings"
)

// practice reads whether what is listened to is no installation. A practice controller
// (commission/listen/bench) speaks as the file says, and only where it says this: so a record of what that
// reported cannot be without it.
func (c *Config) practice(r *reader, top section) {
	text, known := top.Text("practice"), keys.At("practice").Words
	if text != "" && !slices.Contains(known, text) {
		r.Problem(top.Node("practice"), "practice is neither yes nor no", "one of: "+strings.Join(known, ", "))
	}
	c.Practice = text == "yes"
	if c.Practice && c.Way == "keyboard" {
		r.Problem(top.Node("practice"), "practice stands beside listen: keyboard, which no practice controller answers",
			"remove it, or write listen: simulated")
	}
	c.MQTT.Practice, c.Hook.Practice, c.Poll.Practice = c.Practice, c.Practice, c.Practice
}
