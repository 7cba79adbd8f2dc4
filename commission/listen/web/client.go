package web

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"loopwitness/commission/kit/readfile"
)

// client makes requests that follow no redirection: it could lead a password elsewhere.
func client(caFile string) (*http.Client, error) {
	t := &tls.Config{MinVersion: tls.VersionTLS12}
	if caFile != "" {
		const longest = 1 << 20
		pem, err := readfile.All(caFile, longest)
		if err != nil {
			return nil, fmt.Errorf("read the certificate authority: %w", err)
		}
		t.RootCAs = x509.NewCertPool()
		if !t.RootCAs.AppendCertsFromPEM(pem) {
			return nil, fmt.Errorf("%s holds no certificate in PEM form", caFile)
		}
	}
	transport := http.DefaultTransport.(*http.Transport).Clone()
	transport.Proxy, transport.TLSClientConfig, transport.MaxResponseHeaderBytes = nil, t, 16<<10
	return &http.Client{Transport: transport,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, nil
}

// on lets a request say who asks.
func (l Login) on(r *http.Request) {
	switch {
	case l.Token != "":
		r.Header.Set("Authorization", "Bearer "+l.Token)
	case l.User != "" || l.Password != "":
		r.SetBasicAuth(l.User, l.Password)
	}
}

// bare is an error of a request without its URL, in which a secret may stand, and without what the other
// side said: that may be what it was asked.
func bare(err error) error {
	var u *url.Error
	if errors.As(err, &u) {
		err = u.Err
	}
	if why := untrusted(err); why != nil {
		return why
	}
	if strings.ContainsAny(err.Error(), "\"`") {
		return errNoHTTP
	}
	return err
}

var errNoHTTP = errors.New("the answer is no HTTP that can be read")

// untrusted is why the other side's certificate is not trusted, in words that quote nothing of it; nil for any
// other error.
func untrusted(err error) error {
	var by x509.UnknownAuthorityError
	var of x509.HostnameError
	var not x509.CertificateInvalidError
	var refused *tls.CertificateVerificationError
	switch {
	case errors.As(err, &by):
		return errors.New("its certificate is signed by nobody who is trusted here: ca_file in controller.yaml " +
			"names who signs it")
	case errors.As(err, &of):
		return errors.New("its certificate is for another name")
	case errors.As(err, &not) && not.Reason == x509.Expired:
		return errors.New("its certificate is out of date, or the clock of this computer is wrong")
	case errors.As(err, &refused):
		return errors.New("its certificate is not trusted")
	}
	return nil
}

// ErrStatus says that an answer is no success.
var ErrStatus = errors.New("the controller answers")

func statusError(status int) error {
	return fmt.Errorf("%w %d %s", ErrStatus, status, http.StatusText(status))
}

func request(ctx context.Context, method, address string) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, method, address, http.NoBody)
	if err != nil {
		return nil, bare(err)
	}
	r.Header.Set("User-Agent", "loopwitness")
	return r, nil
}
