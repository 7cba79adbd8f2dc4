package beforehand

import (
	"fmt"
	"net"
	"net/url"
	"slices"
	"strconv"

	"loopwitness/commission/listen/web"
)

// web finds what cannot work, or can be read on its way, where the controller speaks HTTP.
func (f *finder) web() {
	if f.Listen.By("webhook") {
		f.hook(f.Listen.Hook)
	}
	if f.Listen.By("poll") {
		f.poll(f.Listen.Poll)
	}
	if f.Listen.By("keyboard") || f.Listen.By("simulated") {
		return
	}
	var c web.SwitchConfig
	if f.Listen.HTTP != nil {
		c = *f.Listen.HTTP
	}
	f.requests(c)
}

func (f *finder) hook(c web.HookConfig) {
	f.unreachedAlone(func(address string) bool {
		_, _, _, ok := c.Example(address)
		return ok
	})
	host, _, err := net.SplitHostPort(c.At)
	if err == nil && c.CertFile == "" && !here(host) {
		f.inController(Perhaps, at("webhook", "at"),
			"write cert_file and key_file if the controller can call over TLS; else use the secret nowhere else",
			"the secret goes over the network as it is: whoever listens there can read it")
	}
	if c.Presence == nil {
		f.inController(Perhaps, at("webhook"), "write presence if the controller can tell that it is there",
			"nothing tells whether the controller can call: while it cannot, its detectors are silent")
	}
}

func (f *finder) poll(c web.PollConfig) {
	f.unreachedAlone(func(address string) bool {
		return slices.ContainsFunc(c.Signals, func(s web.PollSignal) bool { return s.Address == address })
	})
	f.login("poll", c.Login, c.URL)
}

// unreachedAlone finds zones that no signal reaches of the one way that is listened to.
func (f *finder) unreachedAlone(reached func(address string) bool) {
	if len(f.Listen.Ways) == 0 {
		f.unreached(reached)
	}
}

// unreached finds zones that no signal reaches.
func (f *finder) unreached(reached func(address string) bool) {
	var numbers []string
	first := 0
	for i := range f.Site.Zones {
		z := &f.Site.Zones[i]
		if reached(z.Address) {
			continue
		}
		if len(numbers) == 0 {
			first = i
		}
		numbers = append(numbers, strconv.Itoa(z.Number))
	}
	if len(numbers) > 0 {
		f.inSite(Cannot, at("zones", first, "address"),
			"correct the address, or add a signal for it to controller.yaml; as it is, no detector there can be proved",
			"no signal of controller.yaml can reach zone %s", some(numbers))
	}
}

// login finds what says twice who asks, and what is said where others can read it.
func (f *finder) login(section string, l web.Login, addresses ...string) {
	if l.Token != "" && l.User+l.Password != "" {
		f.inController(Cannot, at(section, "token"), "remove the token, or user and password",
			"both a token and a user stand here: only the token is sent")
	}
	if !l.Secret() {
		return
	}
	for _, address := range addresses {
		if u, err := url.Parse(address); err == nil && u.Scheme == "http" && !here(u.Hostname()) {
			f.inController(Perhaps, at(section), "write https:// if the controller can; else use the secret nowhere else",
				"user, password or token go over the network as they are: whoever listens there can read them")
			return
		}
	}
}

// requests finds outputs that nothing would switch off, and those that are switched twice.
func (f *finder) requests(c web.SwitchConfig) {
	var all []string
	seen := map[string]bool{}
	for i, rule := range c.Outputs {
		all = append(all, rule.OnURL, rule.OffURL)
		if seen[rule.Address] {
			f.inController(Cannot, at("http", "outputs", i, "address"), "remove one of the two: only the first counts",
				"this output has a command already")
		}
		seen[rule.Address] = true
		f.inController(Perhaps, at("http", "outputs", i, "address"),
			"switch it over MQTT with a last will if the controller can; else stay at its switch while it is on",
			"if this computer fails while this output is on, nothing switches it off")
	}
	for i, o := range f.Site.Outputs {
		if o.Address != "" && !seen[o.Address] && !f.byMQTT() {
			f.inSite(Perhaps, at("outputs", i, "address"),
				"add it to the outputs of controller.yaml, or remove the address if it is switched by hand",
				"output %s has an address, but controller.yaml has no command for it", fmt.Sprintf("%q", o.Name))
		}
	}
	f.login("http", c.Login, all...)
}
