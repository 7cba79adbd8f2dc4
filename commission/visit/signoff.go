package visit

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// sign shows what is outstanding and asks for a name under it.
func (v *Visit) sign(ctx context.Context, s *record.Outcome) error {
	var a *judge.Assessment
	var open int
	var lapsed bool
	if err := v.look(func(r *record.Record) {
		a = judge.Assess(r)
		lapsed = r.Lapsed()
		open = len(r.OpenBefore(programme.StageSignOff))
	}); err != nil {
		return err
	}
	if open > 0 {
		v.operator.Tell(fmt.Sprintf("   %d steps are still open. Conclude each, or say why it is not tested, before anybody signs.", open))
		return errLeave
	}
	if lapsed {
		v.operator.Tell("   A step was taken again after somebody had signed: that signature no longer counts.")
	}
	signed := record.Signed{Step: s.Step().ID, Role: s.Step().Role, Accepted: v.showOutstanding(a)}
	var err error
	if s.Step().Role == programme.Technician {
		err = v.technician(ctx, s, &signed)
	} else {
		err = v.customer(ctx, s, &signed)
	}
	if err != nil {
		return err
	}
	return v.add(signed)
}

// showOutstanding prints findings and limitations and returns their lines. The
// names are still missing while it is called; that is no limitation to accept.
func (v *Visit) showOutstanding(a *judge.Assessment) []record.Acceptance {
	lines := []string{""}
	var named []record.Acceptance
	for _, list := range [][]judge.Finding{a.Findings(), a.Limitations()} {
		for _, f := range list {
			if f.Subject.Part == judge.PartUnfinished {
				continue
			}
			lines = append(lines, "   "+words.Line(words.English{}, f))
			named = append(named, record.Acceptance{ID: f.ID, Said: f.Said(), Shown: words.Line(words.English{}, f)})
		}
	}
	if len(named) == 0 {
		lines = append(lines, "   No findings and no limitations are outstanding.")
	}
	v.operator.Tell(lines...)
	return named
}

func (v *Visit) technician(ctx context.Context, s *record.Outcome, to *record.Signed) error {
	word, err := v.choose(ctx, s.Step().ID, "The list above is what stays outstanding", "Go back if something of it can still be put right.",
		ask.Option{Word: "sign", Label: "it is right: sign"})
	if err != nil || word != "sign" {
		return err
	}
	if to.Name, err = v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/name", Text: "Technician's name", Shape: ask.Text}); err != nil {
		return err
	}
	to.Licence, err = v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/licence", Text: "Technician's licence or registration, or Enter if none is required", Shape: ask.Text, Optional: true})
	return err
}

func (v *Visit) customer(ctx context.Context, s *record.Outcome, to *record.Signed) error {
	word, err := v.choose(ctx, s.Step().ID, "Show the list above to the customer's representative", "Their name accepts what is listed, each by its number.",
		ask.Option{Word: "accept", Label: "they accept it"},
		ask.Option{Word: "refuses", Label: "they do not accept it, with what they say"},
		ask.Option{Word: "absent", Label: "nobody is there to sign, with a reason"})
	if err != nil {
		return err
	}
	if word == "refuses" {
		to.Accepted, to.Refused = nil, true
		to.Position, err = v.text(ctx, s, "/refusal", "What do they say?", "")
		return err
	}
	if word == "absent" {
		to.Accepted = nil
		to.Position, err = v.text(ctx, s, "/reason", "Why does nobody sign for the customer?", "")
		return err
	}
	if to.Name, err = v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/name", Text: "Customer's representative: name", Shape: ask.Text}); err != nil {
		return err
	}
	if to.Position, err = v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/position", Text: "Their position, or Enter", Shape: ask.Text, Optional: true}); err != nil {
		return err
	}
	to.Drawing, err = v.drawing(ctx, s)
	return err
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

// drawing asks for the picture of a drawn signature; nil for none.
func (v *Visit) drawing(ctx context.Context, s *record.Outcome) ([]byte, error) {
	var drawn []byte
	read := func(path string) (err error) {
		if path == "" {
			drawn = nil
			return nil
		}
		file, err := photograph.ReadFile(unquoted(path))
		if err == nil {
			drawn, err = photograph.Drawing(file)
		}
		return err
	}
	_, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/drawing", Text: "Picture of the drawn signature (a PNG or JPEG file), or Enter",
		Help: "dark strokes on a plain ground, drawn or photographed; it proves nothing about who drew it", Shape: ask.Text, Optional: true, Check: read})
	return drawn, err
}
