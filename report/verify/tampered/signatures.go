package tampered

import (
	"bytes"
	"crypto/x509"
	"encoding/asn1"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"loopwitness/report/cms"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// signatures are others in the place of the signature, and altered ones.
func signatures(o Original, at span) ([]Case, error) {
	f := o.File
	covered := bytes.Join([][]byte{f[:at.from], f[at.to:]}, nil)
	der, err := contentsOf(f, at)
	if err != nil {
		return nil, err
	}
	byTwin, err := seal.Sign(covered, o.Twin, nil)
	if err != nil {
		return nil, err
	}
	ofOther, err := seal.Sign([]byte("another file"), o.Key, nil)
	if err != nil {
		return nil, err
	}
	more := bytes.Clone(der)
	all := []Case{
		{Name: "no signature, zeros", File: filled(f, at, nil)},
		{Name: "signature of another file, by the same key", File: filled(f, at, ofOther)},
		{Name: "signature by another key of the same name", File: filled(f, at, byTwin)},
		{Name: "signature written large", File: exchangedAt(f, at, func(s string) string { return strings.ToUpper(s) })},
		{Name: "something behind the signature", File: filled(f, at, append(more, make([]byte, 8)...), 1)},
		{Name: "signature cut short", File: filled(f, at, der[:len(der)-20])},
		{Name: "rubbish for a signature", File: filled(f, at, bytes.Repeat([]byte{0x41}, len(der)))},
		{Name: "a blank in the signature", File: exchangedAt(f, at, func(s string) string { return s[:9] + " " + s[10:] })},
	}
	for name, alter := range map[string]func(*cms.SignedData) error{
		"certificate exchanged for the twin's": func(d *cms.SignedData) error {
			return carries(d, o.Twin.Certificate)
		},
		"a certificate more": func(d *cms.SignedData) error {
			return carries(d, o.Key.Certificate, o.Twin.Certificate)
		},
		"no certificate": func(d *cms.SignedData) error { return carries(d) },
		"the twin named as its signer": func(d *cms.SignedData) error {
			d.Signers[0].ID.Serial = o.Twin.Certificate.SerialNumber
			return nil
		},
		"signature's value": func(d *cms.SignedData) error {
			d.Signers[0].Signature[9] ^= 1
			return nil
		},
		"two signers": func(d *cms.SignedData) error {
			d.Signers = append(d.Signers, d.Signers[0])
			return nil
		},
		"no signer": func(d *cms.SignedData) error {
			d.Signers = nil
			return nil
		},
		"its time of signing": func(d *cms.SignedData) error {
			signed := d.Signers[0].Signed.FullBytes
			i := bytes.Index(signed, []byte("\x17\x0d"))
			if i < 0 {
				return errors.New("it tells no time")
			}
			signed[i+3] ^= 1
			return nil
		},
		"another version": func(d *cms.SignedData) error {
			d.Version = 3
			return nil
		},
	} {
		file, err := altered(f, at, alter)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, Case{Name: name, File: file})
	}
	if o.Stamped != nil {
		stamps, err := otherStamps(o)
		if err != nil {
			return nil, err
		}
		all = append(all, stamps...)
	}
	return all, made(all)
}

// otherStamps are others in the place of a promised time stamp, and none.
func otherStamps(o Original) ([]Case, error) {
	at, err := find(o.Stamped)
	if err != nil {
		return nil, err
	}
	all := []Case{{Name: "time stamp taken away", File: WithoutStamp(o.Stamped)}}
	for name, change := range map[string]func(attribute cms.Attribute) []cms.Attribute{
		"time stamp of rubbish": func(a cms.Attribute) []cms.Attribute {
			return []cms.Attribute{{Type: a.Type, Values: setOf([]byte{5, 0})}}
		},
		"time stamp of the signature itself": func(a cms.Attribute) []cms.Attribute {
			der, _ := contentsOf(o.File, mustFind(o.File)) // it was read before
			return []cms.Attribute{{Type: a.Type, Values: setOf(der)}}
		},
		"time stamp twice in its place": func(a cms.Attribute) []cms.Attribute {
			return []cms.Attribute{{Type: a.Type, Values: setOf(append(bytes.Clone(a.Values.Bytes), a.Values.Bytes...))}}
		},
		"time stamp beside itself": func(a cms.Attribute) []cms.Attribute { return []cms.Attribute{a, a} },
		"something beside the time stamp": func(a cms.Attribute) []cms.Attribute {
			return []cms.Attribute{a, {Type: cms.ContentType, Values: setOf([]byte{5, 0})}}
		},
		"time stamp called something else": func(a cms.Attribute) []cms.Attribute {
			return []cms.Attribute{{Type: cms.SigningTime, Values: a.Values}}
		},
	} {
		file, err := altered(o.Stamped, at, func(d *cms.SignedData) error {
			var a cms.Attribute
			if _, err := asn1.Unmarshal(d.Signers[0].Unsigned.Bytes, &a); err != nil {
				return err
			}
			return unsigned(d, change(a))
		})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, Case{Name: name, File: file})
	}
	return all, nil
}

func mustFind(file []byte) span {
	at, _ := find(file) // of an original: All has found it
	return at
}

func setOf(der []byte) asn1.RawValue {
	return asn1.RawValue{Class: asn1.ClassUniversal, Tag: asn1.TagSet, IsCompound: true, Bytes: der}
}

// unsigned exchanges what stands beside a signature.
func unsigned(d *cms.SignedData, all []cms.Attribute) error {
	var raw []byte
	for _, a := range all {
		der, err := asn1.Marshal(a)
		if err != nil {
			return err
		}
		raw = append(raw, der...)
	}
	d.Signers[0].Unsigned = asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 1, IsCompound: true, Bytes: raw}
	return nil
}

// WithoutStamp takes the time stamp off a signature, which anybody can: it lies outside of
// what was signed. Nil if that cannot be done.
func WithoutStamp(file []byte) []byte {
	at, err := find(file)
	if err != nil {
		return nil
	}
	out, err := altered(file, at, func(d *cms.SignedData) error {
		d.Signers[0].Unsigned = asn1.RawValue{}
		return nil
	})
	if err != nil {
		return nil
	}
	return out
}

// carries exchanges the certificates that a signature brings.
func carries(d *cms.SignedData, all ...*x509.Certificate) error {
	var raw []byte
	for _, c := range all {
		raw = append(raw, c.Raw...)
	}
	d.Certificates = asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: raw}
	return nil
}

// altered changes the structure of a signature, which has to fit its place.
func altered(file []byte, at span, alter func(*cms.SignedData) error) ([]byte, error) {
	der, err := contentsOf(file, at)
	if err != nil {
		return nil, err
	}
	var info cms.ContentInfo
	var data cms.SignedData
	if _, err := asn1.Unmarshal(der, &info); err != nil {
		return nil, err
	}
	if _, err := asn1.Unmarshal(info.Content.Bytes, &data); err != nil {
		return nil, err
	}
	if err := alter(&data); err != nil {
		return nil, err
	}
	inner, err := asn1.Marshal(data)
	if err != nil {
		return nil, err
	}
	info.Content = asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: inner}
	der, err = asn1.Marshal(info)
	if err != nil {
		return nil, err
	}
	return filled(file, at, der), nil
}

// contentsOf is the signature in its place, without the zeros behind it.
func contentsOf(file []byte, at span) ([]byte, error) {
	raw := make([]byte, (at.to-at.from-2)/2)
	if _, err := hex.Decode(raw, file[at.from+1:at.to-1]); err != nil {
		return nil, err
	}
	var whole asn1.RawValue
	if _, err := asn1.Unmarshal(raw, &whole); err != nil {
		return nil, err
	}
	return whole.FullBytes, nil
}

// filled has other bytes in the place of its signature, and zeros behind them, or others.
// Bytes that do not fit are cut.
func filled(file []byte, at span, der []byte, tail ...byte) []byte {
	raw := make([]byte, (at.to-at.from-2)/2)
	copy(raw, der)
	copy(raw[len(raw)-len(tail):], tail)
	out := bytes.Clone(file)
	hex.Encode(out[at.from+1:at.to-1], raw)
	return out
}

func exchangedAt(file []byte, at span, change func(string) string) []byte {
	out := bytes.Clone(file)
	copy(out[at.from+1:at.to-1], change(string(out[at.from+1:at.to-1])))
	return out
}

// signedAgain signs a file anew, whose signature has its place.
func signedAgain(file []byte, key *identity.Identity) ([]byte, error) {
	at, err := find(file)
	if err != nil {
		return nil, err
	}
	der, err := seal.Sign(bytes.Join([][]byte{file[:at.from], file[at.to:]}, nil), key, nil)
	if err != nil {
		return nil, err
	}
	return filled(file, at, der), nil
}
