package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/terminal"
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
	cmd.Flags().IntVar(&o.fd, "passphrase-fd", -1, "file descriptor to read the key's passphrase from, for an unattended run;\nor set "+passphraseVariable)
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
	case o.fd >= 0:
		return firstLineOf(o.fd)
	case os.Getenv(passphraseVariable) != "":
		return os.Getenv(passphraseVariable), nil
	}
	outputs := []*os.File{s.out}
	if errs, is := s.err.(*os.File); is {
		outputs = append(outputs, errs) // what is asked for may be going to a file
	}
	for _, out := range outputs {
		if terminal.Possible(s.in, out) {
			return terminal.New(s.in, out).Secret(ctx, text)
		}
	}
	return "", fmt.Errorf("the key needs its passphrase, and there is no terminal to ask for it; set %s or name a file descriptor with --passphrase-fd", passphraseVariable)
}

func firstLineOf(fd int) (string, error) {
	const longest = 4096
	f := os.NewFile(uintptr(fd), "passphrase")
	if f == nil {
		return "", fmt.Errorf("file descriptor %d cannot be read", fd)
	}
	line, err := bufio.NewReader(io.LimitReader(f, longest)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", fmt.Errorf("file descriptor %d cannot be read", fd)
	}
	return strings.TrimRight(line, "\r\n"), nil
}

// shortest is the least length of a new passphrase, in characters.
const shortest = 10

// newPassphrase asks for a passphrase that protects a key from now on: twice, if
// somebody types it.
func (s streams) newPassphrase(ctx context.Context, o keyOptions) (string, error) {
	first, err := s.passphrase(ctx, o, fmt.Sprintf("new passphrase, at least %d characters:", shortest))
	if err != nil {
		return "", err
	}
	if len([]rune(first)) < shortest {
		return "", fmt.Errorf("the passphrase is too short; whoever finds the key's file can try many, so take at least %d characters", shortest)
	}
	if o.fd >= 0 || os.Getenv(passphraseVariable) != "" {
		return first, nil
	}
	again, err := s.passphrase(ctx, o, "the same again:")
	if err != nil {
		return "", err
	}
	if again != first {
		return "", errors.New("the two passphrases differ; nothing was stored")
	}
	return first, nil
}

// identity opens the key. A wrong passphrase is told with what to do.
func (s streams) identity(ctx context.Context, o keyOptions) (*identity.Identity, string, error) {
	path, err := o.file()
	if err != nil {
		return nil, "", err
	}
	if _, err := os.Stat(path); err != nil {
		return nil, "", fmt.Errorf("%w: %s; make one with: loopwitness key new", identity.ErrNone, path)
	}
	passphrase, err := s.passphrase(ctx, o, "passphrase of the signing key:")
	if err != nil {
		return nil, "", err
	}
	id, err := identity.Load(path, passphrase)
	if errors.Is(err, identity.ErrPassphrase) {
		return nil, "", fmt.Errorf("%w; there is no way to open the key without it", err)
	}
	return id, passphrase, err
}
