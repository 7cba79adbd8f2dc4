package identity

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"loopwitness/commission/kit/atomicfile"
)

// private: whoever else may read a key may try passphrases.
const private = 0o600

// ErrExists says that a key is stored there already, and is never overwritten.
var ErrExists = errors.New("there is a key already")

// ErrNone says that no key is stored there.
var ErrNone = errors.New("there is no key")

// DefaultPath is where the user's key is kept.
func DefaultPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("where to keep the key is not known (%w); name a file with --key", err)
	}
	return filepath.Join(dir, "loopwitness", "signing-key.p12"), nil
}

// Stored is a key's file as it is. Errors wrap ErrNone.
func Stored(path string) ([]byte, error) {
	p12, err := readKey(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: %s", ErrNone, path)
	}
	return p12, err
}

// Exposed tells, as codes of a mode, what others than its owner may do with a key's file: "r"
// for reading, "w" for writing, both or "".
func Exposed(path string) string {
	info, err := os.Stat(path)
	if err != nil || runtime.GOOS == "windows" { // which has other permissions
		return ""
	}
	const read, write = 0o044, 0o022
	all := ""
	if info.Mode()&read != 0 {
		all += "r"
	}
	if info.Mode()&write != 0 {
		all += "w"
	}
	return all
}

// Load reads the stored identity. Errors wrap ErrNone, or are as those of Read.
func Load(ctx context.Context, path, passphrase string) (*Identity, error) {
	p12, err := Stored(path)
	if err != nil {
		return nil, err
	}
	id, err := Read(ctx, p12, passphrase)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return id, nil
}

// Free is an error (ErrExists) if a key is stored there already.
func Free(path string) error {
	if _, err := os.Stat(path); err == nil {
		return occupied(path)
	}
	return nil
}

func occupied(path string) error {
	return fmt.Errorf("%w: %s; move it away first. Certificates made with it stay valid", ErrExists, path)
}

// Save stores a new identity, readable by its owner only. A file that exists is
// never overwritten (ErrExists).
func Save(path string, id *Identity, passphrase string) error {
	p12, err := id.Store(passphrase)
	if err != nil {
		return err
	}
	if err := atomicfile.MakeFolder(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("store the key: %w", err)
	}
	err = atomicfile.Create(path, p12, private)
	if errors.Is(err, fs.ErrExist) {
		return occupied(path)
	}
	if err != nil {
		return fmt.Errorf("store the key: %w", err)
	}
	_ = Publish(path, id) // without it, a passphrase is asked for
	return nil
}

// Replace stores the same key again, with another certificate or passphrase.
func Replace(path string, id *Identity, passphrase string) error {
	p12, err := id.Store(passphrase)
	if err != nil {
		return err
	}
	if err := atomicfile.Replace(path, p12, private); err != nil {
		return fmt.Errorf("store the key: %w", err)
	}
	_ = Publish(path, id) // as in Save
	return nil
}
