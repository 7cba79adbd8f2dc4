package listen

import (
	"context"
	"errors"
	"path/filepath"

	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// secret tells whether the file says anything that nobody else may read.
func (c *Config) secret() bool {
	return c.MQTT.Password != "" || c.Hook.Secret != "" || c.Hook.Token != "" || c.Poll.Login.Secret() ||
		c.HTTP != nil && c.HTTP.Login.Secret()
}

// beside lets names of files count from a folder.
func (c *Config) beside(folder string) {
	files := []*string{&c.MQTT.CAFile, &c.Hook.CertFile, &c.Hook.KeyFile, &c.Poll.CAFile}
	if c.HTTP != nil {
		files = append(files, &c.HTTP.CAFile)
	}
	for _, file := range files {
		if *file != "" && !filepath.IsAbs(*file) {
			*file = filepath.Join(folder, *file)
		}
	}
}

// switching lets a source switch outputs by HTTP requests, too.
func switching(s signal.Source, c *web.SwitchConfig) (signal.Source, error) {
	if c == nil {
		return s, nil
	}
	outputs, err := web.NewOutputs(*c)
	if err != nil {
		return nil, err
	}
	both := &requesting{Source: s, outputs: outputs}
	if own, is := s.(signal.Guarded); is {
		return &guarding{both, own}, nil
	}
	return both, nil
}

// requesting is a source whose outputs are switched by HTTP requests.
type requesting struct {
	signal.Source
	outputs *web.Outputs
}

// Refused are the calls that the source turned away, if others can call it.
func (r *requesting) Refused() signal.Refused {
	if of, is := r.Source.(signal.Refusing); is {
		return of.Refused()
	}
	return signal.Refused{}
}

func (r *requesting) CanEnergise(o *site.Output) bool { return r.outputs.CanEnergise(o) }

func (r *requesting) Energise(ctx context.Context, o *site.Output, on bool) error {
	return r.outputs.Energise(ctx, o, on)
}

func (r *requesting) Close() error {
	r.outputs.Close()
	return r.Source.Close()
}

// guarding is one that listens over MQTT, too: what it can switch there it switches there, and guards.
type guarding struct {
	*requesting
	own signal.Guarded
}

func (g *guarding) CanEnergise(o *site.Output) bool {
	return g.own.CanEnergise(o) || g.requesting.CanEnergise(o)
}

func (g *guarding) Energise(ctx context.Context, o *site.Output, on bool) error {
	if g.own.CanEnergise(o) {
		return g.own.Energise(ctx, o, on)
	}
	return g.requesting.Energise(ctx, o, on)
}

// errNoWill is why nobody guards an output.
var errNoWill = errors.New("an output that is switched by HTTP requests has no last will")

func (g *guarding) GuardOff(ctx context.Context, o *site.Output, lost func(error)) (release func(), err error) {
	if g.own.CanEnergise(o) {
		return g.own.GuardOff(ctx, o, lost)
	}
	return nil, errNoWill
}
