package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/screen"
	"loopwitness/report/identity"
)

// passphraseVariable is where an unattended run finds the passphrase of the key.
const passphraseVariable = "LOOPWITNESS_PASSPHRASE"

// keyOptions tell which key, and how to open it.
type keyOptions struct {
	path string
	fd   int
}

func keyFlags(cmd *cobra.Command, o *keyOptions) {
	cmd.Flags().StringVar(&o.path, "key", "", "file of the signing key (PKCS#12); the user's own without it")
	cmd.Flags().IntVar(&o.fd, "passphrase-fd", -1,
		"file descriptor to read the key's passphrase from, for an unattended run;\n"+
			"or set "+passphraseVariable+" (on Windows only 0 and the variable)")
}

// file is the key's file.
func (o keyOptions) file() (string, error) {
	if o.path != "" {
		return o.path, nil
	}
	return identity.DefaultPath()
}

// passphrase is the passphrase of the key: from the file descriptor, the
// environment, or whoever sits at the terminal.
func (s streams) passphrase(ctx context.Context, o keyOptions, text string) (string, error) {
	switch {
	case o.fd == 0:
		return firstLineOf(s.in)
	case o.fd > 0:
		f := os.NewFile(uintptr(o.fd), "passphrase")
		if f == nil {
			return "", fmt.Errorf("file descriptor %d cannot be read", o.fd)
		}
		defer f.Close()
		return firstLineOf(f)
	case os.Getenv(passphraseVariable) != "":
		return os.Getenv(passphraseVariable), nil
	}
	outputs := []*os.File{s.out}
	if errs, is := s.err.(*os.File); is {
		outputs = append(outputs, errs) // what is asked for may be going to a file
	}
	for _, out := range outputs {
		if terminal.Possible(s.in, out) {
			return terminal.New(s.in, out, english).Secret(ctx, text)
		}
	}
	return "", fmt.Errorf("the key needs its passphrase, and there is no terminal to ask for it; "+
		"set %s or name a file descriptor with --passphrase-fd", passphraseVariable)
}

func firstLineOf(f *os.File) (string, error) {
	const longest = 4096
	line, err := bufio.NewReader(io.LimitReader(f, longest)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", errors.New("the file descriptor that was named for the passphrase cannot be read")
	}
	return strings.TrimRight(line, "\r\n"), nil
}

// typed tells whether a person types the passphrase, so that it can be asked for again.
func (o keyOptions) typed() bool { return o.fd < 0 && os.Getenv(passphraseVariable) == "" }

// tries is how often a passphrase is asked for. What is typed after the program has
// ended would land in the shell, and in its history.
const tries = 3

// newPassphrase asks for a passphrase that protects a key from now on: twice, if
// somebody types it.
func (s streams) newPassphrase(ctx context.Context, o keyOptions) (string, error) {
	var err error
	for range tries {
		var passphrase string
		if passphrase, err = s.oneNewPassphrase(ctx, o); err == nil || !errors.Is(err, errUnusable) || !o.typed() {
			return passphrase, err
		}
		s.wrapped(err.Error())
	}
	return "", err
}

// errUnusable says that what was typed cannot be the passphrase.
var errUnusable = errors.New("nothing was stored")

func (s streams) oneNewPassphrase(ctx context.Context, o keyOptions) (string, error) {
	first, err := s.passphrase(ctx, o, fmt.Sprintf("new passphrase, at least %d characters:", identity.ShortestPassphrase))
	if err != nil {
		return "", err
	}
	if err := identity.LongEnough(first); err != nil {
		return "", fmt.Errorf("%w; %w", err, errUnusable)
	}
	if !o.typed() {
		return first, nil
	}
	again, err := s.passphrase(ctx, o, "the same again:")
	if err != nil {
		return "", err
	}
	if again != first {
		return "", fmt.Errorf("the two passphrases differ; %w", errUnusable)
	}
	return first, nil
}

// identity opens the key. A wrong passphrase is told with what to do.
func (s streams) identity(ctx context.Context, o keyOptions) (*identity.Identity, string, error) {
	path, err := o.file()
	if err != nil {
		return nil, "", err
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, "", fmt.Errorf("%w: %s; make one with: loopwitness key new", identity.ErrNone, path)
	} else if err != nil {
		return nil, "", fmt.Errorf("the key cannot be reached: %w", err)
	}
	s.cautionAbout(path)
	for try := 1; ; try++ {
		passphrase, err := s.passphrase(ctx, o, "passphrase of the signing key:")
		if err != nil {
			return nil, "", err
		}
		id, err := identity.Load(ctx, path, passphrase)
		if !errors.Is(err, identity.ErrPassphrase) {
			return id, passphrase, err
		}
		if try == tries || !o.typed() {
			return nil, "", fmt.Errorf("%w; there is no way to open the key without it", err)
		}
		s.say("Wrong passphrase.")
	}
}

// fitPassphrase is the passphrase to store a key under that was opened with another: the same,
// or, where that is shorter than a new one may be, a new one from whoever types.
func (s streams) fitPassphrase(ctx context.Context, o keyOptions, opened string) (string, error) {
	err := identity.LongEnough(opened)
	switch {
	case err == nil:
		return opened, nil
	case !o.typed():
		return "", fmt.Errorf("%w; %w", err, errUnusable)
	}
	s.wrapped(err.Error())
	return s.newPassphrase(ctx, o)
}

// cautionAbout tells what is amiss with a key's file, and does not hinder: beside what is
// asked for, which may go to a file.
func (s streams) cautionAbout(path string) {
	what := map[string]string{"r": "read", "w": "write", "rw": "read and write"}[identity.Exposed(path)]
	if what != "" {
		fmt.Fprintf(s.err, "Caution: others than you may %s %s; whoever reads it can try passphrases, whoever writes it can "+
			"exchange it. Make it yours alone: chmod 600\n", what, screen.Clean(path))
	}
	p12, err := identity.Stored(path)
	if err != nil {
		return // whoever opens it tells why
	}
	if n := identity.Iterations(p12); n > 0 && n < identity.OwnIterations {
		fmt.Fprintf(s.err, "Caution: %s is protected by %d iterations only; loopwitness key import stores it with %d\n",
			screen.Clean(path), n, identity.OwnIterations)
	}
}
