package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"time"

	"loopwitness/commission/job"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/stamp/authority"
	"loopwitness/report/verify/tampered"
)

// tamperedFiles has certificates that the real program wrote and signed spoiled in every way
// of report/verify/tampered: verify must not call one of them intact.
type tamperedFiles struct{}

func (tamperedFiles) name() string { return "tampered" }

func (tamperedFiles) run(ctx context.Context, o options) (result, error) {
	dir, err := o.folder("tampered-")
	if err != nil {
		return result{}, err
	}
	defer os.RemoveAll(dir)
	office := newOffice(o, dir)
	original, err := office.original(ctx)
	if err != nil {
		return result{}, err
	}
	cases, err := tampered.All(original)
	if err != nil {
		return result{}, err
	}
	t := newTally()
	tried := some(cases, o.of(0, 12))
	err = each(ctx, len(tried), func(i int) error {
		came, err := office.noticed(ctx, fmt.Sprintf("case-%d.pdf", i), tried[i].File)
		t.try(tried[i].Name, came)
		if tried[i].Keyed {
			t.count("by whoever holds the key", 1)
		}
		return err
	})
	return t.result(), err
}

// office is a folder with a key and a job, in which the real program writes certificates.
type office struct {
	o   options
	dir string
	env []string
}

const passphrase = "tall blue vase"

func newOffice(o options, dir string) office {
	return office{o: o, dir: dir, env: []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + filepath.Join(dir, "config"),
		"LOOPWITNESS_PASSPHRASE=" + passphrase}}
}

// does runs a command that has to come to its end well.
func (f office) does(ctx context.Context, args string, more ...string) error {
	r, err := f.o.runs(ctx, command{dir: f.dir, env: f.env, args: append(strings.Fields(args), more...)})
	if err == nil && r.code != 0 {
		err = fmt.Errorf("exit code %d: %s", r.code, r.said)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", args, err)
	}
	return nil
}

// noticed is unnoticed where verify ends with 0 for a file.
func (f office) noticed(ctx context.Context, name string, file []byte) (came, err error) {
	path := filepath.Join(f.dir, name)
	if err := os.WriteFile(path, file, 0o600); err != nil {
		return nil, err
	}
	defer os.Remove(path)
	r, came := f.o.runs(ctx, command{dir: f.dir, env: f.env, args: []string{"verify", path}})
	if came == nil && r.code == 0 {
		came = unnoticed{"verify says: " + firstLines(r.said)}
	}
	return came, ctx.Err()
}

// firstLines are the beginning of what was written, on a line.
func firstLines(said string) string {
	return strings.Join(strings.Fields(said[:min(len(said), 300)]), " ")
}

// original has the program write certificates with two photographs: two as they are, and one
// with a time stamp.
func (f office) original(ctx context.Context) (o tampered.Original, err error) {
	clock := authority.New("Guild of clocks", authority.Usage(true, authority.ForStamps))
	stamps := httptest.NewServer(clock)
	defer stamps.Close()
	for i := range 2 {
		if err := f.picture(fmt.Sprintf("%d.jpg", i+1), uint8(40+80*i)); err != nil {
			return o, err
		}
	}
	const second = "second.p12"
	for _, args := range []string{"key new --name Bellbird", "key new --name Bellbird --key " + second, "demo --job job",
		"visit attach 1.jpg --about zone/3 --job job", "visit attach 2.jpg --about site --job job",
		"certify --job job", "certify --job job", "certify --job job --timestamp " + stamps.URL} {
		if err := f.does(ctx, args); err != nil {
			return o, err
		}
	}
	v, err := job.At(filepath.Join(f.dir, "job")).Visit("")
	if err != nil {
		return o, err
	}
	for revision, file := range map[int]*[]byte{2: &o.File, 3: &o.Other, 4: &o.Stamped} { // the first is the demonstration's own
		if *file, err = os.ReadFile(v.CertificatePath(revision)); err != nil {
			return o, err
		}
	}
	path := filepath.Join(f.dir, "config", "loopwitness", "signing-key.p12")
	if o.Key, err = identity.Load(ctx, path, passphrase); err != nil {
		return o, err
	}
	if o.Twin, err = identity.Load(ctx, filepath.Join(f.dir, second), passphrase); err != nil {
		return o, err
	}
	parts, err := partsOf(v, o.Key)
	if err != nil {
		return o, err
	}
	o.Contents = parts.Contents
	return o, f.controls(ctx, o)
}

// partsOf is a certificate of a visit before it is sealed.
func partsOf(v job.Visit, key *identity.Identity) (*evidence.Parts, error) {
	contents, err := v.Contents()
	if err != nil {
		return nil, err
	}
	return evidence.Make(contents, v.Photograph, evidence.Making{Revision: 2, Tool: "proof",
		Made: time.Now().UTC().Truncate(time.Second), SealedBy: certificate.Sealer{Kind: certificate.KeyHolder,
			Name: key.Name(), Fingerprint: key.Fingerprint()}})
}

// controls holds that what was not tampered with is intact: otherwise all would be noticed.
func (f office) controls(ctx context.Context, o tampered.Original) error {
	again, err := seal.Seal(ctx, o.Contents, o.Key, seal.Stamper{})
	if err != nil {
		return err
	}
	for name, file := range map[string][]byte{"signed": o.File, "other": o.Other, "stamped": o.Stamped, "sealed": again.PDF} {
		came, err := f.noticed(ctx, name+".pdf", file)
		if err != nil {
			return err
		}
		if !errors.As(came, new(unnoticed)) {
			return fmt.Errorf("what nobody tampered with is not intact: %s, %v", name, came)
		}
	}
	return nil
}

// picture lays a photograph of a shade into the folder.
func (f office) picture(name string, shade uint8) error {
	p := image.NewGray(image.Rect(0, 0, 640, 480))
	for x := range 640 {
		for y := range 480 {
			p.SetGray(x, y, color.Gray{Y: shade + uint8(x/32+y/32)})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, nil); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(f.dir, name), b.Bytes(), 0o600)
}
