package seal

import (
	"bytes"
	"context"
	"crypto"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"time"

	"github.com/digitorus/timestamp"
)

// StampLimit is how long a time-stamping server may delay a seal.
const StampLimit = 10 * time.Second

// maxToken is the longest answer of a time-stamping server that is kept; usual ones
// have 2 to 8 KiB.
const maxToken = 16 << 10

// Stamper asks a time-stamping authority (RFC 3161 over HTTP). The zero Stamper
// stamps nothing.
type Stamper struct {
	URL   string
	Limit time.Duration // zero stands for StampLimit
}

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
	return maxToken
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
	answer, err := s.ask(within, signature)
	if errors.Is(err, context.DeadlineExceeded) {
		return nil, fmt.Errorf("the time-stamping server did not answer within %s", limit)
	}
	if err != nil {
		return nil, fmt.Errorf("the time-stamping server: %w", err)
	}
	stamp, err := timestamp.ParseResponse(answer)
	if err != nil {
		return nil, fmt.Errorf("the time-stamping server gave no time stamp: %w", err)
	}
	if sum := sha256.Sum256(signature); !bytes.Equal(stamp.HashedMessage, sum[:]) {
		return nil, errors.New("the time-stamping server stamped something else")
	}
	return stamp.RawToken, nil
}

func (s Stamper) ask(ctx context.Context, signature []byte) ([]byte, error) {
	question, err := timestamp.CreateRequest(bytes.NewReader(signature),
		&timestamp.RequestOptions{Hash: crypto.SHA256, Certificates: true})
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
	answer, err := io.ReadAll(io.LimitReader(response.Body, maxToken))
	if err == nil && len(answer) == maxToken {
		err = errors.New("its answer is too long")
	}
	return answer, err
}
