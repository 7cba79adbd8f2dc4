// Package typed is what the ways of asking share in which a person types: keys for what
// they may say, notices as lines, and what stands beside a question because it is
// answered with a keyboard.
package typed

import (
	"os"
	"path/filepath"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/photograph"
)

// Runes are the keys of a keyboard, by what they say. Keys that are never offered together
// may share one: ready and touch are both the space bar.
var Runes = map[ask.Key]rune{
	ask.Ready: ' ', ask.Indicated: 'i', ask.AtRest: 'r', ask.Heard: 'h', ask.Again: 'a', ask.Silent: 'x',
	ask.Skip: 's', ask.Note: 'n', ask.Ohms: 'o', ask.Jump: 'j', ask.Look: 'k', ask.Leave: 'l', ask.Redo: 'd',
	ask.Stopped: 't',
	ask.Quiet:   'q', ask.Count: 'c', ask.Roam: 'm', ask.InOrder: 'g', ask.Touch: ' ', ask.NotThat: 'w',
	ask.RoomDone: 'e',
	ask.Begun:    ' ', ask.IsSet: ' ', ask.Opened: ' ', ask.WentOff: 'a', ask.Sounds: ' ', ask.Flashes: ' ',
	ask.IsUnset: ' ',
	ask.Cannot:  'x', ask.Hush: 'q',

	ask.TakeBack: 't', ask.ShowPairing: 'p', ask.ShowAll: 'a', ask.NextPage: ' ',
	ask.Finish: 'f', ask.Forget: 'b',
}

// Answer turns what was typed into the answer to a question: the words of the language are
// taken, and codes.
func Answer(say Sayer, q ask.Question, text string) (ask.Answer, error) {
	return InCodes(q, Meant(say, q, text))
}

// InCodes is Answer where only codes are taken. For a signature, it is the name of the file
// with its picture.
func InCodes(q ask.Question, text string) (ask.Answer, error) {
	word := strings.TrimSpace(text)
	if _, is := q.Takes.(ask.Signature); !is || word == "" || word == ask.RedoWord && q.Redo != nil {
		return q.Accept(text)
	}
	file, err := photograph.ReadFile(unquoted(text))
	if err != nil {
		return ask.Answer{}, err
	}
	return q.AcceptPicture(file)
}

// unquoted is a path as a terminal inserts it when a file is dropped into it.
func unquoted(path string) string {
	path = strings.TrimSpace(path)
	for _, quote := range []string{"'", "\""} {
		if len(path) > 1 && strings.HasPrefix(path, quote) && strings.HasSuffix(path, quote) {
			path = path[1 : len(path)-1]
		}
	}
	if rest, home := strings.CutPrefix(path, "~/"); home {
		if dir, err := os.UserHomeDir(); err == nil {
			return filepath.Join(dir, rest)
		}
	}
	return path
}
