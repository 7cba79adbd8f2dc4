package identity

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"path/filepath"
	"strings"

	"loopwitness/commission/kit/atomicfile"
)

// A key's file keeps its certificate encrypted as well. What is public is kept beside it,
// so that nobody types a passphrase to look at a fingerprint.

// ofKey is the header that names the key's file by its hash: a certificate that was left
// behind by another key is not taken.
const ofKey = "Key-File-SHA256"

// ErrNotPublic says that there is no plain certificate beside a key's file, or that of
// another.
var ErrNotPublic = errors.New("no certificate of this key stands beside its file")

func publicPath(path string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + "-certificate.pem"
}

// Publish keeps the certificate plain beside the key's file.
func Publish(path string, id *Identity) error {
	p12, err := readKey(path)
	if err != nil {
		return err
	}
	block := pem.Block{Type: "CERTIFICATE", Headers: map[string]string{ofKey: digestOf(p12)}, Bytes: id.Certificate.Raw}
	return atomicfile.Replace(publicPath(path), pem.EncodeToMemory(&block), 0o644)
}

// Public is what is public of a stored identity; its Signer is nil. Errors wrap
// ErrNotPublic: then the key has to be opened.
func Public(path string) (*Identity, error) {
	p12, err := readKey(path)
	if err != nil {
		return nil, errors.Join(ErrNotPublic, err)
	}
	beside, err := readKey(publicPath(path))
	if err != nil {
		return nil, errors.Join(ErrNotPublic, err)
	}
	block, _ := pem.Decode(beside)
	if block == nil || block.Headers[ofKey] != digestOf(p12) {
		return nil, ErrNotPublic
	}
	certificates, err := Certificates(beside)
	if err != nil {
		return nil, errors.Join(ErrNotPublic, err)
	}
	return &Identity{Certificate: certificates[0]}, nil
}

func digestOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}
