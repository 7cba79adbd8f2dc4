package phone

import (
	"encoding/hex"
	"encoding/json"
	"time"
)

// keptPhones are the paired phones as they are kept for the next run of a visit: no secret
// of theirs, only its hash.
type keptPhones struct {
	Cookie string      `json:"cookie"`
	Phones []keptPhone `json:"phones"`
}

type keptPhone struct {
	Hash   string    `json:"hash"`
	Role   Role      `json:"role"`
	Device string    `json:"device"`
	Heard  time.Time `json:"heard"`
	Holds  bool      `json:"holds,omitempty"`
	// Digits is the hash of what gives it back to the technician, "" where they have it.
	Digits string `json:"digits,omitempty"`
}

// keptFor is how long a phone goes on after it was heard of last.
const keptFor = 12 * time.Hour

// keep keeps the phones. Where that fails they pair anew after a break, and nothing else is
// lost.
func (s *Server) keep() {
	if s.Keep == nil {
		return
	}
	s.keeping.Lock()
	defer s.keeping.Unlock()
	s.mu.Lock()
	all := keptPhones{Cookie: s.cookie}
	for _, of := range s.sessions {
		p := keptPhone{Hash: hex.EncodeToString(of.cookie[:]), Role: of.role, Device: of.device, Heard: of.heard.Round(0),
			Holds: of == s.holder}
		if of.limited() {
			p.Digits = hex.EncodeToString(of.digits[:])
		}
		all.Phones = append(all.Phones, p)
	}
	over := s.over
	s.mu.Unlock()
	data, err := json.Marshal(all)
	if err != nil {
		panic(err) // of our own types
	}
	if !over {
		_ = s.Keep(data)
	}
}

// restore lets the phones go on that were kept. What cannot be read pairs anew.
func (s *Server) restore(kept []byte) {
	var all keptPhones
	if len(kept) == 0 || json.Unmarshal(kept, &all) != nil || len(all.Phones) > mostPhones {
		return
	}
	if !s.TLS && all.Cookie != "" {
		s.cookie = all.Cookie
	}
	for _, p := range all.Phones {
		of := &session{role: p.Role, device: described(p.Device), heard: time.Now()}
		if !unhex(p.Hash, &of.cookie) || time.Since(p.Heard) > keptFor || p.Role != Technician && p.Role != Onlooker {
			continue
		}
		if p.Digits != "" {
			of.digits = new(hash)
			if !unhex(p.Digits, of.digits) {
				continue
			}
		}
		s.sessions[of.cookie] = of
		if p.Holds && p.Role == Technician {
			s.holder = of
		}
	}
}

func unhex(text string, into *hash) bool {
	data, err := hex.DecodeString(text)
	return err == nil && copy(into[:], data) == len(into) && len(data) == len(into)
}
