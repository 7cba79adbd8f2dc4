package judge

import "math"

// above tells whether a sum or product is larger than a limit by more than what binary
// fractions may be off: 100 mA and 200 mA are not above 300 mA.
func above(value, limit float64) bool {
	const hair = 1e-9
	return value-limit > hair*math.Max(1, math.Abs(limit))
}
