// Package listen reads controller.yaml, which says how to listen to the
// controller and how to energise its outputs, and makes the source that it
// asks for. The file may hold a password: then it must be readable by its owner alone.
// No error shows a line or a value of it.
package listen

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/ears"
	"loopwitness/commission/listen/keyboard"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ErrExposed says that the file can be read by others than its owner.
var ErrExposed = errors.New("controller.yaml can be read by others")

// Config is one controller.yaml. Each way has its own section; Way says which is listened to.
type Config struct {
	Way       string   // "mqtt", "webhook", "poll", "keyboard" or "simulated"; "several" for Ways
	Ways      []string // that are listened to at once; nil for one
	MQTT      mqtt.Config
	Hook      web.HookConfig
	Poll      web.PollConfig
	HTTP      *web.SwitchConfig // outputs beside those of the way; nil for none
	Simulated simulated.Options
	// Practice says that what is listened to is no installation: the record says so for ever.
	Practice bool
}

// Keyboard is what a site without a controller.yaml is listened to with.
var Keyboard = Config{Way: "keyboard"}

// ReadFile reads a controller.yaml for a site, nil for none. One with a password that others may read is refused
// with ErrExposed (not on Windows, which has no such bits).
func ReadFile(path string, s *site.Site) (Config, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Config{}, err
	}
	data, err := strictyaml.ReadFile(path)
	if err != nil {
		return Config{}, fmt.Errorf("read %s: %w", path, withoutPath(err))
	}
	c, err := Read(filepath.Base(path), data, s)
	secret := c.secret() || err != nil && likePassword.Match(data)
	if secret && runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return Config{}, fmt.Errorf("%w: %s has mode %04o; it holds a secret, so run: chmod 600 %s", ErrExposed,
			path, info.Mode().Perm(), path)
	}
	c.beside(filepath.Dir(path))
	return c, err
}

// likePassword is the key of a secret, also if it is misspelt, in a file that cannot be
// read.
var likePassword = regexp.MustCompile(`(?i)pass?w|secret|token`)

func withoutPath(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// Source makes the source that the file asks for.
func (c Config) Source(s *site.Site, cl clock.Clock) (signal.Source, error) {
	if len(c.Ways) == 0 {
		source, err := c.source(c.Way, s, cl)
		if err != nil || c.Way == "keyboard" || c.Way == "simulated" {
			return source, err
		}
		return switching(source, c.HTTP)
	}
	var joined []ears.Ear
	for _, way := range c.Ways {
		source, err := c.source(way, s, cl)
		if err != nil {
			return nil, err
		}
		joined = append(joined, ears.Ear{Source: source, Addresses: c.addresses(way, s)})
	}
	return switching(ears.Join(joined), c.HTTP)
}

func (c Config) source(way string, s *site.Site, cl clock.Clock) (signal.Source, error) {
	switch way {
	case "mqtt":
		return mqtt.New(c.MQTT, cl), nil
	case "webhook":
		return web.NewHook(c.Hook, cl), nil
	case "poll":
		return web.NewPoll(c.Poll, cl)
	case "simulated":
		return simulated.New(s, cl, c.Simulated)
	}
	return keyboard.New(), nil
}
