package lines

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

func aBoard() ask.Board {
	return ask.Board{Site: "Yard", Connected: true, Zones: []ask.BoardZone{{
		Name: programme.ZoneName{Number: 1, Name: "Door"}, Now: signal.Active,
		Detectors: []ask.BoardDetector{{Point: "1.1", Name: "Contact", Standing: ask.FailedStanding,
			Verdict: record.Silent}}}}}
}

// In plain lines a word, or its letter, takes the questions back; the board is printed on
// wish; the end of the input is no wish.
func TestStandingBy(t *testing.T) {
	p := ask.Pairing{Address: "http://192.0.2.7:7443/#token", Code: []string{"█▀  █"}}
	for input, want := range map[string]ask.Key{"pairing\nall\nhow?\nt\n": ask.TakeBack, "take-back\n": ask.TakeBack,
		"a\n": ask.Gone, "": ask.Gone} {
		var out bytes.Buffer
		o := New(strings.NewReader(input), &out, nil, words.English{})
		o.Board(aBoard())
		assert.Equal(t, want, o.StandBy(t.Context(), p), input)
		assert.Contains(t, out.String(), "█▀  █\n")
		assert.Contains(t, out.String(), p.Address)
		assert.Contains(t, out.String(), "take-back (t): take the questions back")
		assert.NotContains(t, out.String(), "\x1b", "no colour, no painting")
		assert.Equal(t, strings.Contains(input, "a\n") || strings.Contains(input, "all"),
			strings.Contains(out.String(), "✗ 1.1 Contact not proved: silent"), input)
		assert.Equal(t, strings.Contains(input, "how?"), strings.Contains(out.String(), "is none of: take-back"), input)
	}
}

// What is told meanwhile is printed; a context that ends is no key.
func TestStandingByEndsWithItsContext(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		in, typing := io.Pipe()
		var out bytes.Buffer
		o := New(in, &out, nil, words.English{})
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan ask.Key)
		go func() { done <- o.StandBy(ctx, ask.Pairing{Device: "a phone"}) }()
		synctest.Wait()
		o.Tell(ask.MainsStillOff{})
		cancel()
		assert.Equal(t, ask.Key(""), <-done)
		require.NoError(t, typing.Close())
		assert.Contains(t, out.String(), "The questions are on: a phone")
		assert.Contains(t, out.String(), "MAINS IS STILL REMOVED")
	})
}

// A list and a board stand above their question; the whole board is printed on wish, and
// nothing typed is no answer.
func TestListsAndBoards(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("\n3\nrest\n"), &out, nil, words.English{})
	got, err := o.Ask(t.Context(), ask.Question{What: ask.ListMatter{Stage: programme.StageInspection, All: 1, Open: 1},
		Takes: ask.Items{Of: []ask.Item{{Word: "1", Label: ask.Verbatim("Covers are closed")}}}})
	require.NoError(t, err)
	assert.Equal(t, ask.ItemsRest, got.Text)
	for _, want := range []string{" 1 ○  Covers are closed\n", "1 of 1 open", "an answer is needed", `the list has no "3"`} {
		assert.Contains(t, out.String(), want)
	}

	out.Reset()
	b := aBoard()
	for i := range 60 {
		b.Zones = append(b.Zones, ask.BoardZone{Name: programme.ZoneName{Number: i + 2, Name: "Store"},
			Detectors: []ask.BoardDetector{{Point: "2.1", Name: "Contact", Standing: ask.ProvedStanding}}})
	}
	o = New(strings.NewReader("5.5\nall\n1.1\n"), &out, nil, words.English{})
	got, err = o.Ask(t.Context(), ask.Question{What: ask.DetectorMatter, Takes: ask.Points{Board: b}})
	require.NoError(t, err)
	assert.Equal(t, "1.1", got.Text)
	first, whole, is := strings.Cut(out.String(), `the board has no "5.5"`)
	require.True(t, is)
	assert.Contains(t, first, "60 zones, nothing open")
	assert.NotContains(t, first, "33 Store")
	assert.Contains(t, whole, "33 Store")
}
