package seal

import (
	"bytes"
	"cmp"
	"context"
	"crypto"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/http"
	"net/url"
	"time"

	"github.com/digitorus/timestamp"

	"loopwitness/report/stamp"
)

// StampLimit is how long a time-stamping server may delay a seal.
const StampLimit = 10 * time.Second

// maxAnswer is the longest answer of a time-stamping server that is read.
const maxAnswer = stamp.MaxToken + 1<<10

// Stamper asks a time-stamping authority (RFC 3161 over HTTP). The zero Stamper
// stamps nothing.
type Stamper struct {
	URL   string
	Limit time.Duration    // zero stands for StampLimit
	Now   func() time.Time // of this computer; nil for time.Now
	// After is the end of what is certified: no stamp can be earlier. Zero if it is not known.
	After time.Time
}

// NoStamp is why a time stamp that was asked for could not be had: there was no answer, or
// one that whoever verifies would not accept.
type NoStamp struct{ Why error }

func (n NoStamp) Error() string { return "no time stamp: " + n.Why.Error() }

// Unwrap is the reason.
func (n NoStamp) Unwrap() error { return n.Why }

// Check refuses an address that can be no time-stamping server's.
func (s Stamper) Check() error {
	u, err := url.Parse(s.URL)
	if s.URL == "" || err == nil && (u.Scheme == "http" || u.Scheme == "https") && u.Host != "" {
		return nil
	}
	return fmt.Errorf("%q is no address of a time-stamping server; it begins with http:// or https://", s.URL)
}

func (s Stamper) reserve() int {
	if s.URL == "" {
		return 0
	}
	return stamp.MaxToken
}

// Stamp is the token over a signature; nil without error if there is no server to
// ask. It returns within the limit, whatever the server does.
func (s Stamper) Stamp(ctx context.Context, signature []byte) ([]byte, error) {
	if s.URL == "" {
		return nil, nil
	}
	limit := s.Limit
	if limit == 0 {
		limit = StampLimit
	}
	within, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	nonce, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), nonceBits))
	if err != nil {
		return nil, err
	}
	answer, err := s.ask(within, signature, nonce)
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return nil, fmt.Errorf("the time-stamping server did not answer within %s", limit)
	case err != nil:
		return nil, fmt.Errorf("the time-stamping server: %w", err)
	}
	token, err := s.tokenIn(answer, signature, nonce)
	if err != nil {
		return nil, fmt.Errorf("the time-stamping server gave none that counts: %w", err)
	}
	return token, nil
}

// nonceBits is how long the number is that tells an answer from an older one.
const nonceBits = 63

// tokenIn is the token in an answer. It is checked as whoever verifies will check it, and
// further: it has to answer this question, and to tell a time that can be.
func (s Stamper) tokenIn(answer, signature []byte, nonce *big.Int) ([]byte, error) {
	response, err := timestamp.ParseResponse(answer)
	if err != nil {
		return nil, err
	}
	t, err := stamp.Check(response.RawToken, signature)
	if err != nil {
		return nil, err
	}
	now := time.Now
	if s.Now != nil {
		now = s.Now
	}
	after := now()
	if s.After.After(after) {
		after = s.After
	}
	return response.RawToken, cmp.Or(t.Answers(nonce), t.Sane(now(), after))
}

func (s Stamper) ask(ctx context.Context, signature []byte, nonce *big.Int) ([]byte, error) {
	question, err := timestamp.CreateRequest(bytes.NewReader(signature),
		&timestamp.RequestOptions{Hash: crypto.SHA256, Certificates: true, Nonce: nonce})
	if err != nil {
		return nil, err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, s.URL, bytes.NewReader(question))
	if err != nil {
		return nil, err
	}
	request.Header.Set("Content-Type", "application/timestamp-query")
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, err
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("it answered %s", response.Status)
	}
	answer, err := io.ReadAll(io.LimitReader(response.Body, maxAnswer))
	if err == nil && len(answer) == maxAnswer {
		err = errors.New("its answer is too long")
	}
	return answer, err
}
