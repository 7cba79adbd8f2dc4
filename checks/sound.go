package checks

import (
	"fmt"
	"math"
)

// LevelAt is a sound level in dB at a distance from a small source outdoors
// (point source, free field): L − 20 lg(d/d0), from the level at d0. Rooms
// reflect: indoors it is higher. Distances in metres, above zero. Source: ISO
// 9613-2:1996 7.1, divergence only.
func LevelAt(levelDB, atMetre, distanceMetre float64) (float64, error) {
	if math.IsNaN(levelDB) || math.IsInf(levelDB, 0) || !(atMetre > 0) || !(distanceMetre > 0) ||
		math.IsInf(atMetre*distanceMetre, 0) {
		return 0, fmt.Errorf("%w: %v dB at %v m, asked for at %v m; distances must be above zero", ErrQuantity,
			levelDB, atMetre, distanceMetre)
	}
	return levelDB - 20*math.Log10(distanceMetre/atMetre), nil
}

// AddLevels is the level in dB of independent sources together:
// 10 lg Σ 10^(L/10). Source: OSHA Technical Manual, noise.
func AddLevels(levelsDB ...float64) (float64, error) {
	if len(levelsDB) == 0 {
		return 0, fmt.Errorf("%w: no levels", ErrQuantity)
	}
	sum := 0.0
	for _, l := range levelsDB {
		if math.IsNaN(l) || l < SoundLevel.min || l > SoundLevel.max {
			return 0, fmt.Errorf("%w: a level of %v dB", ErrQuantity, l)
		}
		sum += math.Pow(10, l/10)
	}
	return 10 * math.Log10(sum), nil
}

// WithoutBackground is the level of a source alone from that with background
// and the background's: 10 lg(10^(T/10) − 10^(B/10)). Closer than 3 dB the
// result is not trusted (common practice): an error.
func WithoutBackground(totalDB, backgroundDB float64) (float64, error) {
	if !(totalDB-backgroundDB >= 3-1e-9) {
		return 0, fmt.Errorf("%w: %v dB stands less than 3 dB above a background of %v dB", ErrQuantity, totalDB,
			backgroundDB)
	}
	return 10 * math.Log10(math.Pow(10, totalDB/10)-math.Pow(10, backgroundDB/10)), nil
}

// MarginOverAmbient is by how much a sounder stands above the ambient level.
// What margin is required is the local rule's to say.
func MarginOverAmbient(levelDB, ambientDB float64) float64 { return levelDB - ambientDB }
