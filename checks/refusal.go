package checks

import (
	"fmt"
	"strings"
)

// Refusal is why a text is no quantity of a dimension. It wraps ErrQuantity.
type Refusal struct {
	Text string // as it was written, cut where it is long
	Of   Dimension
	Why  RefusalWhy
	Unit string // of OtherUnit
}

// RefusalWhy is why.
type RefusalWhy string

// Why a text is no quantity.
const (
	NoNumber     RefusalWhy = "no-number"
	OutOfRange   RefusalWhy = "out-of-range"
	LargerFirst  RefusalWhy = "larger-first" // of the parts of a time
	DecimalComma RefusalWhy = "decimal-comma"
	NoUnit       RefusalWhy = "no-unit"
	OtherUnit    RefusalWhy = "other-unit"
)

func (d Dimension) refuse(text string, why RefusalWhy, unit string) error {
	if len(text) > maxQuantityText {
		text = strings.ToValidUTF8(text[:maxQuantityText], "") + "…"
	}
	return &Refusal{Text: text, Of: d, Why: why, Unit: unit}
}

// Range is within what a quantity of the dimension makes sense, in its SI unit.
func (d Dimension) Range() (low, high float64) { return d.min, d.max }

// Error is what was written, and what would be accepted.
func (r *Refusal) Error() string {
	why := ""
	switch r.Why {
	case OutOfRange:
		why = fmt.Sprintf(" (must lie between %s and %s %s)", FormatNumber(r.Of.min), FormatNumber(r.Of.max), r.Of.SI)
	case LargerFirst:
		why = " (write the larger unit first)"
	case DecimalComma:
		why = " (write the decimal sign as a point)"
	case NoUnit:
		why = " (the unit is missing)"
	case OtherUnit:
		why = fmt.Sprintf(" (%q is no unit of it)", r.Unit)
	}
	return fmt.Sprintf("%v: %q is not %s%s; write for example %s", ErrQuantity, r.Text, r.Of.Name, why, r.Of.Examples)
}

// Unwrap is ErrQuantity.
func (r *Refusal) Unwrap() error { return ErrQuantity }
