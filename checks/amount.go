package checks

import "math"

// amounts tells whether all values are finite numbers of zero or more.
func amounts(values ...float64) bool {
	for _, v := range values {
		if !(v >= 0) || math.IsInf(v, 1) {
			return false
		}
	}
	return true
}
