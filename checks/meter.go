package checks

import (
	"fmt"
	"math"
)

// MeterClass is the class of a sound level meter.
type MeterClass int

// meterRow is how far a meter of class 1 or 2 may read from the truth at a frequency, in dB.
type meterRow struct{ hertz, class1, class2 float64 }

// meterRows: IEC 61672-1:2013 table 3, looked up (three reproductions); the wider side
// where it is lopsided. The uncertainty of the laboratory is not included. 630, 800, 1600
// and 2500 Hz have the limits of a row beside them, and are left out.
var meterRows = []meterRow{
	{500, 1, 1.5}, {1000, 0.7, 1}, {1250, 1, 1.5}, {2000, 1, 2}, {3150, 1, 2.5}, {4000, 1, 3}, {5000, 1.5, 3.5},
	{8000, 2.5, 5},
}

// Tolerance is the half-width in dB within which a meter reads a sound whose frequency
// lies between two, in Hz: the widest of all rows that the range touches. From 500 Hz to
// 8 kHz. Source: IEC 61672-1:2013 table 3.
func (c MeterClass) Tolerance(fromHertz, toHertz float64) (float64, error) {
	if c != 1 && c != 2 {
		return 0, fmt.Errorf("%w: a sound level meter of class %d; there are 1 and 2", ErrQuantity, c)
	}
	last := len(meterRows) - 1
	if !(fromHertz >= meterRows[0].hertz) || !(toHertz >= fromHertz) || !(toHertz <= meterRows[last].hertz) {
		return 0, fmt.Errorf("%w: a sound of %v Hz to %v Hz; a meter's limits are known from 500 Hz to 8 kHz", ErrQuantity,
			fromHertz, toHertz)
	}
	widest := 0.0
	for i, row := range meterRows {
		below := i < last && meterRows[i+1].hertz <= fromHertz
		above := i > 0 && meterRows[i-1].hertz >= toHertz
		if below || above {
			continue // neither in the range nor next to it
		}
		widest = math.Max(widest, map[MeterClass]float64{1: row.class1, 2: row.class2}[c])
	}
	return widest, nil
}

// linearUpTo is the share of the distance up to which its uncertainty is taken as the
// same on both sides: beyond it the level is off by more than 1 dB (computed).
const linearUpTo = 0.3

// DistanceError is by how many dB, down and up, a level is off that was taken at a
// distance known to ± so much, in metres: 20 lg((d ± u)/d) in free field. It is lopsided.
// The uncertainty is at least zero and below the distance.
func DistanceError(distanceMetre, uncertaintyMetre float64) (down, up float64, err error) {
	share := uncertaintyMetre / distanceMetre
	if !(distanceMetre > 0) || math.IsInf(distanceMetre, 1) || !(share >= 0 && share < 1) {
		return 0, 0, fmt.Errorf("%w: a distance of %v m ± %v m", ErrQuantity, distanceMetre, uncertaintyMetre)
	}
	return -20 * math.Log10(1-share), 20 * math.Log10(1+share), nil
}

// SoundBudget is what makes a measured level uncertain. Tolerance and Resolution are the
// meter's in dB; the distance and how well it is known in metres.
type SoundBudget struct {
	Tolerance, Resolution, Distance, DistanceUncertainty float64
}

// Expanded is the expanded uncertainty (k = 2) of the level in dB: by how much it may be
// less, and more. Limits count as rectangular, a/√3; the distance by its linear form,
// 8.686·u/d, up to three tenths of it, and by the exact one beyond. Source: JCGM 100
// 4.3.7, 5.1.2.
func (b SoundBudget) Expanded() (down, up float64, err error) {
	shorter, longer, err := DistanceError(b.Distance, b.DistanceUncertainty)
	if err != nil {
		return 0, 0, err
	}
	if share := b.DistanceUncertainty / b.Distance; share <= linearUpTo+1e-9 { // 0.1 + 0.2 is not quite 0.3
		shorter = 20 / math.Ln10 * share
		longer = shorter
	}
	down, _ = b.side(shorter) // it refuses what the other refuses
	up, err = b.side(longer)
	return down, up, err
}

// side is the expanded uncertainty with a distance that is off by so many dB.
func (b SoundBudget) side(distance float64) (float64, error) {
	var parts []Contribution
	for _, half := range []float64{b.Tolerance, distance, b.Resolution / 2} {
		u, err := fromHalfWidth(half, Rectangular)
		if err != nil {
			return 0, err
		}
		parts = append(parts, Contribution{Standard: u})
	}
	u, _, err := Combined(parts...)
	return coverage * u, err
}

// BackgroundCorrection is what a level with background has more than the source alone, in
// dB: −10 lg(1 − 10^(−ΔL/10)), nothing from more than 15 dB above the background on. Less
// than 6 dB above it, 1.3 dB are taken off, and the result is an upper bound. Source: ISO
// 3744:2010 8.2.3. A systematic error of the meter moves both readings alike, and then the
// corrected level by as much as each.
func BackgroundCorrection(totalDB, backgroundDB float64) (correction float64, upperBound bool, err error) {
	above := totalDB - backgroundDB
	if math.IsNaN(above) || math.IsInf(above, 0) {
		return 0, false, fmt.Errorf("%w: %v dB over a background of %v dB", ErrQuantity, totalDB, backgroundDB)
	}
	const hair = 1e-9 // 66.1 − 60.1 is not quite 6
	switch {
	case above > threshold("sound/background/none")+hair:
		return 0, false, nil
	case above < threshold("sound/background/least")-hair:
		return threshold("sound/background/most"), true, nil
	}
	return -10 * math.Log10(1-math.Pow(10, -above/10)), false, nil
}
