package tampered

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"

	"loopwitness/report/seal"
)

// resealed are certificates with other attachments, sealed as this tool seals: by whoever
// holds the key, and by the twin.
func resealed(o Original, _ span) ([]Case, error) {
	var all []Case
	for name, change := range exchanges {
		c := o.Contents
		c.Attachments = change(slices.Clone(c.Attachments))
		sealed, err := seal.Seal(context.Background(), c, o.Key, seal.Stamper{})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, Case{Name: name, File: sealed.PDF, Keyed: true})
	}
	later := o.Contents
	later.Made = later.Made.AddDate(0, 0, 1)
	dated, err := seal.Seal(context.Background(), later, o.Key, seal.Stamper{})
	if err != nil {
		return nil, err
	}
	twin, err := seal.Seal(context.Background(), o.Contents, o.Twin, seal.Stamper{})
	return append(all, Case{Name: "dates of another day", File: dated.PDF, Keyed: true},
		Case{Name: "sealed by another key of the same name", File: twin.PDF}), err
}

// exchange is a change of what is attached.
type exchange func([]seal.Attachment) []seal.Attachment

const firstPhotograph, secondPhotograph = "photograph-1", "photograph-2"

var exchanges = map[string]exchange{
	"exchanged: journal and statement": swapped(seal.JournalName, seal.StatementName),
	"exchanged: two photographs":       swapped(firstPhotograph, secondPhotograph),
	"exchanged: photograph, journal":   swapped(firstPhotograph, seal.JournalName),
	"without its journal":              without(seal.JournalName),
	"without its statement":            without(seal.StatementName),
	"without a photograph":             without(firstPhotograph),
	"an attachment more": func(all []seal.Attachment) []seal.Attachment {
		return append(all, seal.Attachment{Name: "approval.txt"})
	},
	"an attachment twice": func(all []seal.Attachment) []seal.Attachment { return append(all, all[0]) },
	"another media type": func(all []seal.Attachment) []seal.Attachment {
		all[0].Media = "text/html"
		return all
	},
	"another description": func(all []seal.Attachment) []seal.Attachment {
		all[0].Description = "Approved"
		return all
	},
	"a photograph of another name": func(all []seal.Attachment) []seal.Attachment {
		all[at(all, firstPhotograph)].Name = "photograph-9.jpg"
		return all
	},
	"a photograph with a byte more": edited(firstPhotograph, func(b []byte) []byte { return append(b, 0) }),
	"a journal without its last entry": edited(seal.JournalName, func(b []byte) []byte {
		return b[:bytes.LastIndexByte(b[:len(b)-1], '\n')+1]
	}),
	"a journal with an empty line":           edited(seal.JournalName, func(b []byte) []byte { return append(b, '\n') }),
	"a journal with a result that is better": edited(seal.JournalName, replacing(`"done"`, `"DONE"`)),
	"a statement of another tool":            edited(seal.StatementName, replacing(`"tool": "`, `"tool": "x`)),
	"a statement of another revision":        edited(seal.StatementName, replacing(`"revision": `, `"revision": 1`)),
	"a statement of no edition":              edited(seal.StatementName, replacing(`"edition": `, `"edition": -`)),
	"a statement of later rules":             edited(seal.StatementName, replacing(`"rules": `, `"rules": 9`)),
	"a statement with a blank more":          edited(seal.StatementName, func(b []byte) []byte { return append(b, ' ') }),
	"a statement with a key twice": edited(seal.StatementName,
		replacing(`"format": 1,`, `"format": 1, "format": 1,`)),
	"a statement that promises a time stamp": edited(seal.StatementName,
		replacing(`"journal": {`, `"time_stamped": true, "journal": {`)),
	"a statement that a photograph is lost": edited(seal.StatementName,
		replacing(`"judged": {`, `"lost": ["photograph-1.jpg"], "judged": {`)),
}

// at is the place of the attachment whose name begins so.
func at(all []seal.Attachment, name string) int {
	return slices.IndexFunc(all, func(a seal.Attachment) bool { return strings.HasPrefix(a.Name, name) })
}

func swapped(a, b string) exchange {
	return func(all []seal.Attachment) []seal.Attachment {
		i, j := at(all, a), at(all, b)
		all[i].Content, all[j].Content = all[j].Content, all[i].Content
		return all
	}
}

func without(name string) exchange {
	return func(all []seal.Attachment) []seal.Attachment {
		i := at(all, name)
		return slices.Delete(all, i, i+1)
	}
}

func edited(name string, change func([]byte) []byte) exchange {
	return func(all []seal.Attachment) []seal.Attachment {
		i := at(all, name)
		all[i].Content = change(bytes.Clone(all[i].Content))
		return all
	}
}

func replacing(old, with string) func([]byte) []byte {
	return func(b []byte) []byte { return bytes.Replace(b, []byte(old), []byte(with), 1) }
}
