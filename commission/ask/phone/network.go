package phone

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strconv"
	"strings"
)

// Network is an address of this computer that a phone may reach.
type Network struct {
	Address netip.Addr
	Name    string // of its interface
}

// Networks are those of this computer: one for each interface that is up and leads
// elsewhere, by IPv4 where it has that.
func Networks() ([]Network, error) {
	interfaces, err := net.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("look for networks: %w", err)
	}
	var all []Network
	for _, i := range interfaces {
		if i.Flags&net.FlagUp == 0 || i.Flags&(net.FlagLoopback|net.FlagPointToPoint) != 0 {
			continue
		}
		addresses, err := i.Addrs()
		if err != nil {
			continue // it has gone meanwhile
		}
		if a, has := best(addresses); has {
			all = append(all, Network{a, i.Name})
		}
	}
	return all, nil
}

// best is the address of an interface that a phone can be told: no address that holds on
// one link only, which names its interface, too.
func best(addresses []net.Addr) (found netip.Addr, has bool) {
	for _, a := range addresses {
		prefix, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue
		}
		at := prefix.Addr().Unmap()
		if at.IsLoopback() || at.IsLinkLocalUnicast() || at.IsMulticast() || at.IsUnspecified() {
			continue
		}
		if !has || at.Is4() && !found.Is4() {
			found, has = at, true
		}
	}
	return found, has
}

// usualPorts are tried first, so that a phone finds the page again after a break.
var usualPorts = map[bool]uint16{true: 8443, false: 8080}

// ErrAddress says that an address is none that the page can be served at.
var ErrAddress = errors.New("no address of this computer")

// ParseAddress reads ADDRESS or ADDRESS:PORT; the port is 0 where none is named.
func ParseAddress(text string) (netip.AddrPort, error) {
	if at, err := netip.ParseAddrPort(text); err == nil {
		return at, usableAt(at.Addr())
	}
	at, err := netip.ParseAddr(strings.Trim(text, "[]"))
	if err != nil {
		return netip.AddrPort{}, fmt.Errorf("%q is no address; write one of this computer's, for example 192.168.1.5 or "+
			"192.168.1.5:8443", text)
	}
	return netip.AddrPortFrom(at, 0), usableAt(at)
}

func usableAt(at netip.Addr) error {
	if at.IsUnspecified() || at.IsMulticast() || at.Zone() != "" {
		return fmt.Errorf("%s is %w: the page is served on one network, by its own address", at, ErrAddress)
	}
	return nil
}

// Listen opens the port at an address; where none is named the usual one, or any that is
// free.
func Listen(at netip.AddrPort, overTLS bool) (net.Listener, error) {
	ports := []uint16{at.Port()}
	if at.Port() == 0 {
		ports = []uint16{usualPorts[overTLS], 0}
	}
	var failed error
	for _, port := range ports {
		l, err := net.Listen("tcp", net.JoinHostPort(at.Addr().String(), strconv.Itoa(int(port))))
		if err == nil {
			return l, nil
		}
		failed = err
	}
	return nil, fmt.Errorf("serve the page for the phone: %w", failed)
}

// HostsOf are the values of Host by which a page at an address is asked for: a browser
// leaves the port out where it is the scheme's own.
func HostsOf(at net.Addr, overTLS bool) []string {
	hosts := []string{at.String()}
	own := map[bool]string{true: "443", false: "80"}
	if host, port, err := net.SplitHostPort(at.String()); err == nil && port == own[overTLS] {
		if strings.Contains(host, ":") {
			host = "[" + host + "]"
		}
		hosts = append(hosts, host)
	}
	return hosts
}
