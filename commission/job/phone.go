package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/readfile"
)

// private is who may read what holds a secret.
const private = 0o600

// mostPhone is larger than anything that is kept about phones, in bytes.
const mostPhone = 256 << 10

// PhoneCertificate is what the page on a phone proved itself with the last time: a key and
// its certificate; nil for none.
func (f Folder) PhoneCertificate() ([]byte, error) { return f.kept("phone.pem") }

// KeepPhoneCertificate keeps it for the next time, so that a phone knows the page again.
func (f Folder) KeepPhoneCertificate(pem []byte) error { return f.keep("phone.pem", pem) }

// Phones are those that are paired with the visit that runs, or was broken off; nil for
// none.
func (f Folder) Phones() ([]byte, error) { return f.kept("phones.json") }

// KeepPhones keeps them for when the visit goes on; nil forgets them.
func (f Folder) KeepPhones(phones []byte) error {
	if phones == nil {
		err := os.Remove(filepath.Join(f.dir, "phones.json"))
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		return err
	}
	return f.keep("phones.json", phones)
}

func (f Folder) kept(name string) ([]byte, error) {
	data, err := readfile.All(filepath.Join(f.dir, name), mostPhone)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

func (f Folder) keep(name string, data []byte) error {
	return atomicfile.Replace(filepath.Join(f.dir, name), data, private)
}
