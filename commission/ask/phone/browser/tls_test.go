package browser_test

import (
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/words"
)

// beginTLS serves the page over TLS, without a link.
func beginTLS(t testing.TB) *visit {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	v := &visit{t: t, at: l.Addr().String()}
	v.Server, v.tokens = phone.New(
		phone.Config{Language: words.English{}, Hosts: []string{v.at}, TLS: true, Terminal: true,
			Texts: words.PageTexts(words.English{})},
	)
	certificate, _, err := phone.Certificate(nil, netip.MustParseAddr("127.0.0.1"), time.Now())
	require.NoError(t, err)
	page := v.Open(l, &certificate)
	t.Cleanup(func() { _ = page.Close(ask.PhonePageOver{}) })
	v.Board(studio())
	return v
}

func (v *visit) technicianTLS() string { return "https://" + v.at + "/#" + v.tokens.Technician }

// Over TLS, as it is unless somebody chooses otherwise, the page does the same, and the
// screen stays on.
func TestOverTLS(t *testing.T) {
	t.Parallel()
	v := beginTLS(t)
	pressed, _, _ := v.waits(ready("3.1"))
	p := browser.New(t)
	p.RecordErrors()
	p.Go(v.technicianTLS())
	canTap(p)
	p.Tap("#now")
	assert.NotNil(t, got(t, pressed).Tap)
	p.Tap("#tab-more")
	p.WaitText("#scene", "The screen stays on")
	assert.NotContains(t, p.Text("#scene"), "not encrypted")
	assert.Empty(t, p.Errors())
}
