package record

import (
	"bytes"
	"regexp"

	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

// The laws of names under the visit.
const (
	// LawSignature: who signs has a name; who does not, does not sign; each says what is asked of them.
	LawSignature Law = "signature"
	// LawSignedLast: nobody signs while steps before it are open.
	LawSignedLast Law = "signed-last"
	// LawSignedInTurn: the technician signs before the customer does.
	LawSignedInTurn Law = "signed-in-turn"
	// LawAccepted: what is accepted are findings and limitations of the visit, each once.
	LawAccepted Law = "accepted"
	// LawDrawing: a drawn signature is a drawing.
	LawDrawing Law = "drawing"
	// LawPhotograph: a photograph has what a photograph of this program has.
	LawPhotograph Law = "photograph"
)

var nameLaws = []rule{
	{law: LawSignature, consequence: Limits, entry: on(otherSignature)},
	{law: LawSignedLast, consequence: Limits, entry: on((*Record).signedEarly)},
	{law: LawSignedInTurn, consequence: Limits, entry: on((*Record).signedFirst)},
	{law: LawAccepted, consequence: Limits, entry: on(otherAcceptances)}, // and see the assessment
	{law: LawDrawing, consequence: Refused, entry: on(drawnTwice)},
	{law: LawPhotograph, consequence: Refused},
}

func otherSignature(_ *Record, f Signed) bool {
	nothing := f.Name == "" && len(f.Accepted) == 0 && f.Drawing == nil && f.Strokes == nil && f.Licence == ""
	if f.Called != "" && (!f.Refused || oneline.Blank(f.Called)) {
		return true
	}
	switch {
	case f.Role == programme.Technician:
		return oneline.Blank(f.Name) || f.Refused || f.Position != "" || f.Drawing != nil
	case f.Refused || f.Name == "": // or not there: why
		return !nothing || oneline.Blank(f.Position)
	}
	return oneline.Blank(f.Name) || f.Licence != ""
}

// drawnTwice tells whether one signature is a picture and was drawn on glass as well.
func drawnTwice(_ *Record, f Signed) bool { return f.Drawing != nil && f.Strokes != nil }

func (r *Record) signedEarly(Signed) bool { return len(r.OpenBefore(programme.StageSignOff)) > 0 }

func (r *Record) signedFirst(f Signed) bool {
	technician := r.index[programme.IDTechnician]
	return f.Role == programme.Customer && technician != nil && technician.signed == nil
}

// idForm is how findings and limitations are numbered.
var idForm = regexp.MustCompile(`^[FL][1-9][0-9]{0,5}$`)

func otherAcceptances(_ *Record, f Signed) bool {
	ids := map[string]bool{}
	for _, a := range f.Accepted {
		if !idForm.MatchString(a.ID) || ids[a.ID] || !bytes.HasPrefix(a.Said, []byte("{")) ||
			oneline.Blank(a.Shown) {
			return true
		}
		ids[a.ID] = true
	}
	return false
}
