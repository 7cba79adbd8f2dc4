package web

import (
	"encoding/json"
	"fmt"
	"net"
	"strings"

	"loopwitness/commission/signal"
)

// Example is a call that reports an address active, for somebody to try: its path after the secret,
// its content type and its body. ok is false where no rule reports the address.
func (c *HookConfig) Example(address string) (path, contentType, body string, ok bool) {
	for _, rule := range c.Signals {
		path, ok = exampleOf(rule, address)
		active := rule.States[signal.Active]
		if !ok || len(active) == 0 {
			continue
		}
		if rule.Value == "" && !strings.HasPrefix(rule.Address, "/") {
			return path, "text/plain", active[0], true
		}
		var said any = map[string]any{}
		if rule.Value != "" {
			said = placed(said, rule.Value, active[0])
		}
		if strings.HasPrefix(rule.Address, "/") {
			said = placed(said, rule.Address, address)
		}
		if c.Many != "" {
			said = placed(map[string]any{}, c.Many, []any{said})
		}
		text, err := json.Marshal(said)
		return path, "application/json", string(text), err == nil
	}
	return "", "", "", false
}

// exampleOf is a path on which a rule may report an address.
func exampleOf(rule HookSignal, address string) (path string, ok bool) {
	levels := make([]string, strings.Count(rule.Path, "+"))
	if !strings.HasPrefix(rule.Address, "/") {
		before, after, one := strings.Cut(rule.Address, "{1}")
		switch {
		case !one && rule.Address != address, strings.Contains(after, "{"):
			return "", false
		case one && (!strings.HasPrefix(address, before) || !strings.HasSuffix(address, after) ||
			len(address) <= len(before)+len(after)):
			return "", false
		case one:
			levels[0] = address[len(before) : len(address)-len(after)]
		}
	}
	parts := strings.Split(rule.Path, "/")
	n := 0
	for i, part := range parts {
		if part == "+" {
			if parts[i] = levels[n]; parts[i] == "" {
				parts[i] = "1"
			}
			n++
		}
	}
	return strings.Join(parts, "/"), true
}

// placed puts a value at a JSON Pointer, as keys of objects.
func placed(in any, pointer string, value any) any {
	object, _ := in.(map[string]any)
	if object == nil {
		object = map[string]any{}
	}
	first, rest, deeper := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	first = strings.ReplaceAll(strings.ReplaceAll(first, "~1", "/"), "~0", "~")
	if !deeper {
		object[first] = value
	} else {
		object[first] = placed(object[first], "/"+rest, value)
	}
	return object
}

// Curl is a line for a shell that makes the example's call. Without secrets, placeholders stand for them.
func (c *HookConfig) Curl(address string, secrets bool) (line string, ok bool) {
	path, contentType, body, ok := c.Example(address)
	if !ok {
		return "", false
	}
	secret, token := c.Secret, c.Token
	if !secrets {
		secret, token = "SECRET", "TOKEN"
	}
	words := []string{"curl", "--include"}
	if c.Token != "" {
		words = append(words, "--header", shellQuoted("Authorization: Bearer "+token))
	}
	words = append(words, "--header", shellQuoted("Content-Type: "+contentType), "--data", shellQuoted(body))
	scheme, host := "http", c.reached()
	if c.CertFile != "" {
		scheme = "https"
		words = append(words, "--cacert", shellQuoted(c.CertFile))
	}
	if c.Secret != "" {
		path = "/" + secret + path
	}
	return strings.Join(append(words, shellQuoted(fmt.Sprintf("%s://%s%s", scheme, host, path))), " "), true
}

// reached is where this computer reaches itself.
func (c *HookConfig) reached() string {
	host, port, err := net.SplitHostPort(c.At)
	if ip := net.ParseIP(host); err == nil && ip != nil && ip.IsUnspecified() {
		return net.JoinHostPort("127.0.0.1", port)
	}
	return c.At
}

func shellQuoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }
