package main

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"loopwitness/commission/dryrun"
)

//go:embed testdata/*.yaml
var kioskFiles embed.FS

// kiosk is a job in real time over MQTT, with its controller.
type kiosk struct {
	o   options
	dir string
	*controller
}

// kioskCase is the kiosk's job for a broker that the program reaches at an address.
func kioskCase(via, place string) (visitCase, error) {
	c := visitCase{name: "kiosk", Visit: dryrun.Visit{}}
	for name, text := range map[string]*[]byte{"site.yaml": &c.Site, "controller.yaml": &c.Controller,
		"answers.yaml": &c.Answers} {
		var err error
		if *text, err = kioskFiles.ReadFile("testdata/" + name); err != nil {
			return c, err
		}
	}
	c.Controller = bytes.ReplaceAll(c.Controller, []byte("BROKER"), []byte(via))
	c.Controller = bytes.ReplaceAll(c.Controller, []byte("PLACE"), []byte(place))
	return c, nil
}

// openKiosk makes a kiosk whose controller reaches the broker at one address and whose
// program reaches it at another; place tells it from others at the broker. Close it.
func (o options) openKiosk(at, via, place string) (*kiosk, error) {
	files, err := kioskCase(via, place)
	if err != nil {
		return nil, err
	}
	k := &kiosk{o: o}
	if k.dir, err = o.folder("kiosk-"); err != nil {
		return nil, err
	}
	if err := files.lay(k.dir); err != nil {
		return nil, err
	}
	k.controller, err = newController(at, place, o.seed, func() string { path, _ := journalIn(k.dir); return path })
	return k, err
}

func (k *kiosk) close() {
	k.controller.close()
	_ = os.RemoveAll(k.dir)
}

// attend begins the visit, or goes on with it, in real time.
func (k *kiosk) attend(ctx context.Context) (*child, error) {
	args := []string{"visit", "resume"}
	if _, data := journalIn(k.dir); len(wholeLines(data)) == 0 {
		args = []string{"visit", "start", "--kind", "handover", "--beside"}
	}
	return k.o.start(ctx, filepath.Join(k.dir, "screen"),
		append(args, "--job", k.dir, "--answers", filepath.Join(k.dir, "answers.yaml"))...)
}

// ends goes on with the visit until it has come to its end, and returns how it came to it.
func (k *kiosk) ends(ctx context.Context) (outcome, int, time.Duration, error) {
	began := time.Now()
	run, err := k.attend(ctx)
	if err != nil {
		return nil, 0, 0, err
	}
	code, err := run.code()
	if err != nil {
		return nil, code, 0, err
	}
	path, _ := journalIn(k.dir)
	got, err := outcomeAt(path)
	if err == nil && got["done"] != "true" {
		err = fmt.Errorf("the visit did not come to its end: %s", run.tail())
	}
	return got, code, time.Since(began), err
}
