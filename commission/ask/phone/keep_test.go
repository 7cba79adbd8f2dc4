package phone

import (
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// again is a server of the next run of a visit, with the phones that were kept.
func (s *serving) again(kept []byte) *serving {
	config := s.Config
	config.Kept = kept
	next, tokens := New(config)
	return &serving{Server: next, t: s.t, handler: next.Handler(), tokens: tokens}
}

// Phones go on in the next run as what they were: who holds the questions does, who looks
// on only looks on, and who is with the customer stays there. Those of a visit that is
// complete do not.
func TestPhonesGoOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, overTLS := range []bool{true, false} {
			var kept []byte
			first, tokens := New(Config{Language: words.English{}, Hosts: []string{host}, TLS: overTLS,
				Keep: func(phones []byte) error { kept = phones; return nil }})
			s := &serving{Server: first, t: t, handler: first.Handler(), tokens: tokens}
			phone, tablet := s.pair(tokens.Technician, "a phone"), s.pair(tokens.Onlooker, "a tablet")
			for _, secret := range []string{tokens.Technician, tokens.Onlooker, phone.cookie.Value, tablet.cookie.Value} {
				assert.NotContains(t, string(kept), secret)
			}

			next := s.again(kept)
			phone.s, tablet.s = next, next
			var held []record.Held
			next.Serve(ask.OutOfTurn{Held: func(h record.Held) { held = append(held, h) }})
			assert.Equal(t, []record.Held{{By: record.OnPhone, Device: "a phone"}}, held)
			assert.True(t, phone.talk().Holds)
			assert.Equal(t, Onlooker, tablet.talk().Role)
			code, _ := tablet.send("/hold", Hold{Key: "1", Sure: true})
			assert.Equal(t, http.StatusForbidden, code)
			assert.Equal(t, http.StatusForbidden, (&client{s: next}).pair(tokens.Technician, "x"), "a token of the first run")

			_, taken := phone.send("/hand", Hand{Key: "2", Code: "0417"})
			require.True(t, taken.OK)
			assert.NotContains(t, string(kept), `"0417"`, "a hash may hold it by chance")
			third := next.again(kept)
			phone.s = third
			assert.Equal(t, Customer, phone.talk().Role, "no way out through a break")
			_, taken = phone.send("/hand", Hand{Key: "3", Code: "0417", Back: true})
			assert.True(t, taken.OK)
			third.Server.Close(ask.PhonePageOver{Paused: true})
			assert.NotNil(t, kept)

			time.Sleep(keptFor + time.Second)
			assert.Empty(t, third.again(kept).sessions, "after too long")
			second := third.again(nil)
			second.pair(second.tokens.Technician, "x")
			second.Server.Close(ask.PhonePageOver{})
			assert.Nil(t, kept, "the visit is complete")
		}
	})
}

// What was kept and cannot be read lets nobody in.
func TestSpoiltPhonesPairAnew(t *testing.T) {
	s := serve(t)
	hash := strings.Repeat("ab", 32)
	for _, kept := range []string{"", "x", "{}", `{"phones":[{"hash":"","role":"technician"}]}`,
		`{"phones":[{"hash":"` + hash + `","role":"technician","heard":"1999-01-01T00:00:00Z"}]}`,
		`{"phones":[{"hash":"` + hash + `","role":"customer","heard":"2100-01-01T00:00:00Z"}]}`,
		`{"phones":[{"hash":"` + hash + `ab","role":"technician","heard":"2100-01-01T00:00:00Z"}]}`,
		`{"phones":[{"hash":"` + hash + `","role":"technician","digits":"x","heard":"2100-01-01T00:00:00Z"}]}`,
	} {
		assert.Empty(t, s.again([]byte(kept)).sessions, kept)
	}
	good := `{"phones":[{"hash":"` + hash + `","role":"technician","heard":"2100-01-01T00:00:00Z","holds":true}]}`
	assert.Len(t, s.again([]byte(good)).sessions, 1)
}

// Whatever was kept, only who has a cookie of it is let in, and at most as many as are
// paired; one phone holds the questions at most.
func FuzzKept(f *testing.F) {
	f.Add(
		`{"cookie":"x","phones":[{"hash":"` + strings.Repeat(
			"ab",
			32,
		) + `","role":"technician","heard":"2100-01-01T00:00:00Z","holds":true}]}`,
	)
	f.Add(`{"phones":null}`)
	f.Fuzz(func(t *testing.T, kept string) {
		s := serve(t).again([]byte(kept))
		assert.LessOrEqual(t, len(s.sessions), mostPhones)
		for key, of := range s.sessions {
			assert.Equal(t, key, of.cookie)
			assert.Contains(t, []Role{Technician, Onlooker}, of.role)
		}
		if s.holder != nil {
			assert.Equal(t, Technician, s.holder.role)
			assert.Same(t, s.holder, s.sessions[s.holder.cookie])
		}
		code := (&client{s: s}).do(http.MethodPost, "/clock", []byte("{}"), nil).Code
		assert.Equal(t, http.StatusUnauthorized, code)
	})
}
