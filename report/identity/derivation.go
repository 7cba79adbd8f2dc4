package identity

import (
	"context"
	"crypto"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"time"

	"software.sslmate.com/src/go-pkcs12"
)

// How often a passphrase is hashed until it is a key. A stored one is hashed as often as
// OWASP's cheat sheet of 2023 asks for PBKDF2 with SHA-256; a file with more than what NIST
// SP 800-132 (2010) names for the most critical keys is refused: no passphrase needs more,
// and it would only keep a computer busy. Both *from memory*.
const (
	OwnIterations  = 600_000 // of a file that is stored here
	mostIterations = 10_000_000
)

// longestOpening bounds what the file does not tell beforehand: a derivation that is itself
// encrypted.
const longestOpening = 2 * time.Minute

// ErrCostly says that a file asks for so many iterations that nobody would open it.
var ErrCostly = errors.New("opening it would take too long")

// opened decodes a PKCS#12 file. It ends with the context at once: what is being derived then
// ends with the program.
func opened(ctx context.Context, p12 []byte, passphrase string) (id *Identity, err error) {
	if most := slices.MaxFunc(append(derivations(p12), new(big.Int)), (*big.Int).Cmp); !fits(most) {
		return nil, fmt.Errorf("%w: it asks for %s iterations, and no passphrase needs more than %d", ErrCostly, most,
			mostIterations)
	}
	within, cancel := context.WithTimeout(ctx, longestOpening)
	defer cancel()
	done := make(chan struct{})
	var key any
	var cert *x509.Certificate
	var issuers []*x509.Certificate
	var failed error
	go func() {
		defer close(done)
		key, cert, issuers, failed = pkcs12.DecodeChain(p12, passphrase)
	}()
	select {
	case <-done:
	case <-within.Done():
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("broken off while the key was opened: %w", err)
		}
		return nil, fmt.Errorf("%w: more than %s", ErrCostly, longestOpening)
	}
	switch {
	case errors.Is(failed, pkcs12.ErrIncorrectPassword):
		return nil, ErrPassphrase
	case failed != nil:
		return nil, errors.New("not a PKCS#12 file with one key and its certificate")
	}
	signer, ok := key.(crypto.Signer)
	if !ok {
		return nil, fmt.Errorf("%w: its key cannot sign", ErrUnfit)
	}
	return &Identity{Signer: signer, Certificate: cert, Issuers: ordered(cert, issuers)}, nil
}

func fits(n *big.Int) bool { return n.Cmp(big.NewInt(mostIterations)) <= 0 }

// Iterations is the least number of iterations that a file's passphrase is hashed with, as
// far as the file tells before it is opened; zero if it tells none.
func Iterations(p12 []byte) int {
	all := derivations(p12)
	if len(all) == 0 {
		return 0
	}
	least := slices.MinFunc(all, (*big.Int).Cmp)
	if !fits(least) {
		return mostIterations
	}
	return int(least.Int64())
}

// Algorithms whose parameters are a salt and a number of iterations: PBKDF2 (RFC 8018, A.2)
// and those of PKCS#12 itself (RFC 7292, C), by the object identifier above them. PBMAC1 (RFC
// 8018, A.5) holds the former.
var (
	pbkdf2   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 5, 12}
	pbmac1   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 5, 14}
	ofPKCS12 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 12, 1}
)

// derivations are the numbers of iterations that a PKCS#12 file names where it is not
// encrypted: that of its MAC, those of what it holds.
func derivations(p12 []byte) []*big.Int {
	var outer struct {
		Version int
		Safe    asn1.RawValue
		Mac     struct {
			Digest struct {
				Algorithm pkix.AlgorithmIdentifier
				Digest    []byte
			}
			Salt       []byte
			Iterations *big.Int `asn1:"optional"` // 1 if it says none
		} `asn1:"optional"`
	}
	if _, err := asn1.Unmarshal(p12, &outer); err != nil {
		return nil
	}
	w := walk{left: 10_000}
	// That of PBMAC1 stands in its own parameters, and nobody reads the other.
	if mac := outer.Mac; mac.Salt != nil && !mac.Digest.Algorithm.Algorithm.Equal(pbmac1) {
		if mac.Iterations == nil {
			mac.Iterations = big.NewInt(1)
		}
		w.found = append(w.found, mac.Iterations)
	}
	w.into(p12, 0)
	return w.found
}

// walk goes through DER, so many elements of it.
type walk struct {
	left  int
	found []*big.Int
}

// into looks at the elements in some bytes, and at those in them: octet strings of a PKCS#12
// file hold further DER.
func (w *walk) into(der []byte, depth int) {
	const deepest = 24
	for len(der) > 0 && depth < deepest && w.left > 0 {
		w.left--
		var e asn1.RawValue
		rest, err := asn1.Unmarshal(der, &e)
		if err != nil {
			return
		}
		if n := iterationsOf(e); n != nil {
			w.found = append(w.found, n)
		}
		if e.IsCompound || e.Class == asn1.ClassUniversal && e.Tag == asn1.TagOctetString {
			w.into(e.Bytes, depth+1)
		}
		der = rest
	}
}

// iterationsOf is the number in an algorithm that derives a key, nil if it is none.
func iterationsOf(e asn1.RawValue) *big.Int {
	var algorithm struct {
		ID         asn1.ObjectIdentifier
		Parameters struct {
			Salt       asn1.RawValue
			Iterations *big.Int
		}
	}
	if _, err := asn1.Unmarshal(e.FullBytes, &algorithm); err != nil {
		return nil
	}
	id := algorithm.ID
	if id.Equal(pbkdf2) || len(id) == len(ofPKCS12)+1 && id[:len(ofPKCS12)].Equal(ofPKCS12) {
		return algorithm.Parameters.Iterations
	}
	return nil
}
