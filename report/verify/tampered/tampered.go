// Package tampered spoils sealed certificates, for tests: each case is a file that whoever
// verifies must not call intact. Some were made by a stranger, who has the file only; others
// by whoever holds the key, whose signature is sound.
package tampered

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"strconv"

	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// Original is a sealed certificate, with what a forger may have beside it.
type Original struct {
	File     []byte
	Contents seal.Contents      // that was sealed
	Key      *identity.Identity // that it was sealed with
	Twin     *identity.Identity // another key, whose certificate bears the same name
	Other    []byte             // another certificate that was sealed with Key
	Stamped  []byte             // one whose time stamp is promised; nil for none
}

// Case is a file that was tampered with.
type Case struct {
	Name  string
	File  []byte
	Keyed bool // it was signed again with the right key
}

// All are the cases of an original. It is an error if one of them could not be made, or
// left the file as it was.
func All(o Original) ([]Case, error) {
	at, err := find(o.File)
	if err != nil {
		return nil, err
	}
	var all []Case
	for _, make := range []func(Original, span) ([]Case, error){bytewise, updates, ranges, signatures, resealed, objects} {
		cases, err := make(o, at)
		if err != nil {
			return nil, err
		}
		all = append(all, cases...)
	}
	seen := map[string]bool{}
	for _, c := range all {
		if bytes.Equal(c.File, o.File) || bytes.Equal(c.File, o.Stamped) || seen[c.Name] {
			return nil, fmt.Errorf("%s: it is the original, or stands twice", c.Name)
		}
		seen[c.Name] = true
	}
	return all, nil
}

// span is the place of a signature's hexadecimal string, with its brackets, and of the
// numbers of its byte range.
type span struct{ from, to, rangeFrom, rangeTo int }

var byteRange = regexp.MustCompile(`/ByteRange \[(0) (\d+) (\d+) (\d+)\]`)

func find(file []byte) (span, error) {
	m := byteRange.FindSubmatchIndex(file)
	if m == nil {
		return span{}, errors.New("the file has no signature")
	}
	from, _ := strconv.Atoi(string(file[m[4]:m[5]])) // digits, by the form
	to, _ := strconv.Atoi(string(file[m[6]:m[7]]))
	if from < 0 || to > len(file) || from >= to {
		return span{}, errors.New("the signature's range is none")
	}
	return span{from, to, m[2], m[9]}, nil
}

// exchanged has a text in the place of another, the first or the last; nil where it is not there.
func exchanged(file []byte, old, with string, last bool) []byte {
	at := bytes.Index(file, []byte(old))
	if last {
		at = bytes.LastIndex(file, []byte(old))
	}
	if at < 0 {
		return nil
	}
	return bytes.Join([][]byte{file[:at], []byte(with), file[at+len(old):]}, nil)
}

func flipped(file []byte, at int) []byte {
	out := bytes.Clone(file)
	out[at] ^= 1
	return out
}

// bytewise are changes of the bytes of a file by a stranger.
func bytewise(o Original, at span) ([]Case, error) {
	f := o.File
	with := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	text := func(s string) []byte { return []byte(s) }
	all := []Case{
		{Name: "a byte less", File: f[:len(f)-1]},
		{Name: "half of it", File: f[:len(f)/2]},
		{Name: "cut before the signature", File: f[:at.from]},
		{Name: "a line end more", File: with(f, text("\n"))},
		{Name: "a second end", File: with(f, text("%%EOF\n"))},
		{Name: "zeros behind it", File: with(f, make([]byte, 512))},
		{Name: "another certificate behind it", File: with(f, o.Other)},
		{Name: "itself behind it", File: with(f, f)},
		{Name: "a line before it", File: with(text("\n"), f)},
		{Name: "a script before it", File: with(text("#!/bin/sh\nexit\n"), f)},
		{Name: "a byte in the middle removed", File: with(f[:len(f)/3], f[len(f)/3+1:])},
		{Name: "a byte in the middle put in", File: with(f[:len(f)/3], text("x"), f[len(f)/3:])},
		{Name: "first bit", File: flipped(f, 0)},
		{Name: "version of the format", File: exchanged(f, "%PDF-1.7", "%PDF-1.6", false)},
		{Name: "a bit before the signature", File: flipped(f, at.from-1)},
		{Name: "a bit behind the signature", File: flipped(f, at.to)},
		{Name: "last bit", File: flipped(f, len(f)-1)},
		{Name: "title", File: exchanged(f, "/Title <", "/Titel <", false)},
		{Name: "no signature flag", File: exchanged(f, "/SigFlags 3", "/SigFlags 0", false)},
		{Name: "changes allowed", File: exchanged(f, "/P 1/Type", "/P 3/Type", false)},
		{Name: "certifies nothing", File: exchanged(f, "/DocMDP", "/DocMDQ", false)},
		{Name: "reason of the signature", File: exchanged(f, "/Reason <feff00", "/Reason <feff01", false)},
		{Name: "name of the signer in the file", File: exchanged(f, "/Name <feff00", "/Name <feff01", false)},
		{Name: "an attachment's name", File: exchanged(f, hex.EncodeToString([]byte(seal.JournalName)),
			hex.EncodeToString([]byte("journal.jsonx")), false)},
		{Name: "names of attachments swapped", File: swappedNames(f)},
		{Name: "place of the table", File: exchanged(f, "startxref\n", "startxref\n0", true)},
	}
	return all, made(all)
}

// swappedNames lets the names of two attachments change their places: both are as long as
// before, so that the file is as sound as it was but for its signature.
func swappedNames(f []byte) []byte {
	a, b := hex.EncodeToString([]byte(seal.JournalName)), hex.EncodeToString([]byte(seal.StatementName))
	out := bytes.ReplaceAll(f, []byte("<"+a+">"), []byte("<\x00>"))
	out = bytes.ReplaceAll(out, []byte("<"+b+">"), []byte("<"+a+">"))
	return bytes.ReplaceAll(out, []byte("<\x00>"), []byte("<"+b+">"))
}

// made is an error if one of them is not there.
func made(all []Case) error {
	for _, c := range all {
		if len(c.File) == 0 {
			return fmt.Errorf("%s: it could not be made", c.Name)
		}
	}
	return nil
}

// ranges are other byte ranges, each as long as before where that can be.
func ranges(o Original, at span) ([]Case, error) {
	f := o.File
	first, second, third := at.from, at.to, len(f)-at.to
	tables := []struct {
		name string
		text string
	}{
		{"range from 1", fmt.Sprintf("1 %d %d %d", first-1, second, third)},
		{"range ends early", fmt.Sprintf("0 %d %d %d", first, second, third-1)},
		{"range ends late", fmt.Sprintf("0 %d %d %d", first, second, third+1)},
		{"range with a wider gap", fmt.Sprintf("0 %d %d %d", first-1, second, third)},
		{"range with a wider gap behind", fmt.Sprintf("0 %d %d %d", first, second+1, third-1)},
		{"range without a gap", fmt.Sprintf("0 %d %d %d", first, first, len(f)-first)},
		{"range that overlaps", fmt.Sprintf("0 %d %d %d", second, first, third)},
		{"range of the first half", fmt.Sprintf("0 %d %d 0", first, second)},
		{"range with nothing before", fmt.Sprintf("0 0 %d %d", second, third)},
		{"range of five numbers", fmt.Sprintf("0 %d %d %d 0", first, second, third)},
		{"range below zero", fmt.Sprintf("0 %d %d -%d", first, second, third)},
		{"range in another notation", fmt.Sprintf("0 %d %d +%d", first, second, third)},
	}
	var all []Case
	for _, r := range tables {
		all = append(all, Case{Name: r.name,
			File: bytes.Join([][]byte{f[:at.rangeFrom], []byte(r.text), f[at.rangeTo:]}, nil)})
	}
	decoy := []byte(fmt.Sprintf("%%/ByteRange [0 %d %d %d]\n", first, second, third))
	all = append(all, Case{Name: "a second range behind it", File: append(bytes.Clone(f), decoy...)},
		Case{Name: "a second range before it", File: append(bytes.Clone(decoy), f...)},
		Case{Name: "no range", File: exchanged(f, "/ByteRange", "/ByteRongo", false)})
	return all, made(all)
}
