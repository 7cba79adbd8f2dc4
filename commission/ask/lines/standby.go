package lines

import (
	"context"
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/screen"
)

// Board keeps how the visit stands, for whoever asks for it while standing by.
func (o *Operator) Board(b ask.Board) { o.board.Store(&b) }

// StandBy prints the pairing, and takes the word of a key from a line; its letter is
// enough.
func (o *Operator) StandBy(ctx context.Context, p ask.Pairing) ask.Key {
	keys := []ask.Key{ask.TakeBack, ask.ShowPairing, ask.ShowAll}
	names := typed.KeyWords(o.say, keys)
	var words []string
	for i, k := range keys {
		words = append(words, fmt.Sprintf("%s (%c): %s", names[i], typed.Runes[k], o.say.Say(k)))
	}
	o.print(o.say.Say(typed.Holder(p)))
	o.list(typed.Pairing(o.say, p, typed.Look{Columns: width}))
	o.print("   " + o.say.Say(typed.TypePrompt) + " " + strings.Join(words, "; "))
	in := o.input()
	for {
		select {
		case text, ok := <-in:
			if !ok {
				return ask.Gone
			}
			switch o.meant(text, keys) {
			case ask.TakeBack:
				return ask.TakeBack
			case ask.ShowPairing:
				o.list(typed.Pairing(o.say, p, typed.Look{Columns: width}))
			case ask.ShowAll:
				if b := o.board.Load(); b != nil {
					o.list(typed.Board(o.say, *b, typed.Look{Columns: width, Whole: true}))
				}
			default:
				o.print("   " + o.say.Say(typed.NoKey{Text: screen.Cut(text, 30), Words: names}))
			}
		case <-ctx.Done():
			return ""
		}
	}
}

// meant is the key that a line names, by its word or its letter, "" for none.
func (o *Operator) meant(text string, keys []ask.Key) ask.Key {
	for _, k := range keys {
		if text == string(typed.Runes[k]) {
			return k
		}
	}
	return typed.Key(o.say, keys, text)
}
