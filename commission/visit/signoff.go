package visit

import (
	"context"
	"slices"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
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
		v.operator.Tell(ask.StepsOpen{Open: open})
		return errLeave
	}
	if lapsed {
		v.operator.Tell(ask.SignatureLapsed{})
	}
	signed := record.Signed{Step: s.Step().ID, Role: s.Step().Role}
	var err error
	if s.Step().Role == programme.Technician {
		err = v.technician(ctx, s, a, &signed)
	} else {
		err = v.customer(ctx, s, a, &signed)
	}
	if err != nil {
		return err
	}
	return v.add(signed)
}

// outstanding are the findings and limitations that a name accepts. The names are still
// missing while they are shown; that is no limitation to accept.
func outstanding(a *judge.Assessment) []judge.Finding {
	return slices.Concat(a.Findings(), a.Limitations())
}

// listed are findings as what a question is about.
func listed(findings []judge.Finding) []ask.Phrase {
	if len(findings) == 0 {
		return []ask.Phrase{ask.NothingOutstanding{}}
	}
	var about []ask.Phrase
	for _, f := range findings {
		about = append(about, ask.Outstanding{Finding: f})
	}
	return about
}

// toSign is what both signers are shown: the result, what is outstanding, and what was
// undertaken about it.
func toSign(a *judge.Assessment) []ask.Phrase {
	about := append([]ask.Phrase{ask.ResultStands{Result: a.OnceSigned()}}, listed(outstanding(a))...)
	return append(about, undertaken(a)...)
}

// accepted are the findings that somebody accepts who was shown toSign in these words.
func accepted(findings []judge.Finding, shown []string) []record.Acceptance {
	var all []record.Acceptance
	if len(shown) > 0 {
		shown = shown[1:] // the result
	}
	for i, f := range findings {
		if i < len(shown) {
			all = append(all, record.Acceptance{ID: f.ID, Said: f.Said(), Shown: shown[i]})
		}
	}
	return all
}

var (
	signOption   = ask.Option{Word: "sign", Label: ask.SignChoice}
	acceptOption = ask.Option{Word: "accept", Label: ask.AcceptChoice}
	refuseOption = ask.Option{Word: "refuses", Label: ask.RefuseChoice}
	absentOption = ask.Option{Word: "absent", Label: ask.AbsentChoice}
)

func (v *Visit) technician(
	ctx context.Context,
	s *record.Outcome,
	a *judge.Assessment,
	to *record.Signed,
) error {
	answer, err := v.choose(
		ctx,
		ask.Question{ID: s.Step().ID, What: ask.OutstandingMatter, Help: ask.PutRightAdvice,
			About: toSign(a)},
		signOption,
	)
	if err != nil {
		return err
	}
	to.Accepted = accepted(outstanding(a), answer.Shown)
	if err := v.undertake(ctx, a); err != nil {
		return err
	}
	if to.Name, err = v.signer(ctx, s, "/name", ask.TechnicianMatter, false); err != nil {
		return err
	}
	if to.Licence, err = v.signer(ctx, s, "/licence", ask.LicenceMatter, true); err != nil {
		return err
	}
	if d, is := v.device(); is && d.Draws() {
		return v.drawn(ctx, s, a, to)
	}
	return nil
}

// drawn asks for a drawn signature: strokes where it was drawn on glass. It may be left out.
func (v *Visit) drawn(ctx context.Context, s *record.Outcome, a *judge.Assessment, to *record.Signed) error {
	answer, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/drawing",
		What: ask.SignatureOf{
			Name: to.Name,
			Role: to.Role,
		}, About: []ask.Phrase{ask.ResultStands{Result: a.OnceSigned()}}, Help: ask.StrokesAdvice, Takes: ask.Signature{}, Optional: true})
	to.Strokes = answer.Strokes
	if to.Role == programme.Customer {
		to.Drawing = answer.Drawing
	}
	return err
}

func (v *Visit) customer(ctx context.Context, s *record.Outcome, a *judge.Assessment, to *record.Signed) error {
	answer, err := v.choose(
		ctx,
		ask.Question{ID: s.Step().ID, What: ask.AcceptanceMatter, Help: ask.AcceptAdvice,
			About: toSign(a)},
		acceptOption,
		refuseOption,
		absentOption,
	)
	if err != nil {
		return err
	}
	switch answer.Text {
	case refuseOption.Word:
		to.Refused = true
		if to.Position, err = v.text(ctx, s, "/refusal", ask.RefusalMatter, nil); err != nil {
			return err
		}
		to.Called, err = v.signer(ctx, s, "/called", ask.CalledMatter, true)
		return err
	case absentOption.Word:
		to.Position, err = v.text(ctx, s, "/reason", ask.AbsenceMatter, nil)
		return err
	}
	to.Accepted = accepted(outstanding(a), answer.Shown)
	if to.Name, err = v.signer(ctx, s, "/name", ask.CustomerMatter, false); err != nil {
		return err
	}
	if to.Position, err = v.signer(ctx, s, "/position", ask.PositionMatter, true); err != nil {
		return err
	}
	return v.drawn(ctx, s, a, to)
}

// signer asks for a line about who signs. It is written with the signature, not before.
func (v *Visit) signer(
	ctx context.Context, s *record.Outcome, id string, what ask.Matter, optional bool,
) (string, error) {
	return v.ask(ctx, ask.Question{ID: s.Step().ID + id, What: what, Takes: ask.Line{}, Optional: optional})
}
