package beforehand

import "net"

// guards finds outputs that nothing would switch off if this computer failed.
func (f *finder) guards() {
	if !f.byMQTT() {
		return
	}
	for i, rule := range f.Listen.MQTT.Outputs {
		if rule.NoLastWill {
			f.inController(Perhaps, at("mqtt", "outputs", i, "last_will"),
				"write last_will: true, or leave it out: the broker then switches it off",
				"if this computer fails while this output is on, nothing switches it off")
		}
	}
}

// secret finds a password that can be read on its way.
func (f *finder) secret() {
	m := f.Listen.MQTT
	if !f.byMQTT() || m.Password == "" || m.Broker.Scheme == "tls" || here(m.Broker.Hostname()) {
		return
	}
	f.inController(Perhaps, at("mqtt", "password"),
		"write tls:// as broker if it can; else let this user read these topics only, and use the password nowhere else",
		"the password goes over the network as it is: whoever listens there can read it")
}

// here tells whether a host is this computer, whatever its name is elsewhere.
func here(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}
