// Package web listens to controllers that speak HTTP: those that call this program at every change (a
// web hook), and those that answer what they are asked. It switches outputs by HTTP requests, too.
package web

import (
	"slices"
	"time"

	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// HookConfig is how a controller may call. It holds secrets.
type HookConfig struct {
	At                string // host:port to listen at
	Secret            string // the first part of every path, "" for none
	Token             string // that every call bears, "" for none
	CertFile, KeyFile string // PEM; "" for no TLS
	Hosts             []string
	Many              string // JSON Pointer to a list of signals in one call; "" where a call is one
	ID                string // JSON Pointer (begins with /), or name of a header, of a call's own id; "" for none
	RepeatsWithin     time.Duration
	Signals           []HookSignal
	System            []HookSystem
	Presence          *HookPresence
	Practice          bool // what calls is no installation
}

// HookSignal says which paths report which addresses, and what bodies mean.
type HookSignal struct {
	Path    string // begins with /; + stands for one level, captured as {1}, {2} …
	Address string // a zone's address, may hold {1} …; or a JSON Pointer to it
	payload.Rule
}

// HookSystem says on which path the controller tells an aspect of itself.
type HookSystem struct {
	Path string
	Itself
}

// HookPresence says on which path the controller tells that it is there, or has gone away.
type HookPresence struct{ Path, Value, Here, Away string }

// Itself is an aspect of the controller, where it stands, and what says that it is so, or is not.
type Itself struct {
	Aspect          signal.Aspect
	Value           string // JSON Pointer; "" for all
	Present, Absent []string
}

// Login is how this program says who it is: by a token, or by user and password; or not at all.
type Login struct{ User, Password, Token string }

// Secret tells whether there is anything that nobody else may read.
func (l Login) Secret() bool { return l.Password != "" || l.Token != "" }

// PollConfig is what a controller is asked, and how often. It holds secrets.
type PollConfig struct {
	URL            string // http, https; no user part
	Every, Timeout time.Duration
	Login
	CAFile   string // PEM, for TLS with a private authority
	Signals  []PollSignal
	System   []Itself
	Practice bool // what is asked is no installation
}

// PollSignal says where in an answer an address stands, and what that means.
type PollSignal struct {
	Address string
	payload.Rule
}

// SwitchConfig is how outputs are switched by HTTP requests. It holds secrets.
type SwitchConfig struct {
	Login
	CAFile   string
	Outputs  []OutputRule
	Practice bool // what is switched is no installation
}

// OutputRule says how an output is switched.
type OutputRule struct {
	Address       string // of the site's output
	Method        string
	OnURL, OffURL string
	On, Off       string // bodies
	ContentType   string
}

// tells are the aspects of some rules, each once, in the order of signal.Aspects.
func tells(rules []Itself) (all []signal.Aspect) {
	for _, aspect := range signal.Aspects {
		if slices.ContainsFunc(rules, func(r Itself) bool { return r.Aspect == aspect }) {
			all = append(all, aspect)
		}
	}
	return all
}

// ofItself are the rules of a hook without their paths.
func ofItself(rules []HookSystem) (all []Itself) {
	for _, r := range rules {
		all = append(all, r.Itself)
	}
	return all
}
