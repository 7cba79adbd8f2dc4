// Package runs shortens lists of numbered things.
package runs

import (
	"slices"
	"strconv"
	"strings"
)

const digits = "0123456789"

// Short are texts of which three or more that follow on each other stand as first–last: 5.1–5.40, F1–F6, 7–9.
// One follows on another where only their last number differs, by one.
func Short(all []string) (short []string) {
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && follows(all[to-1], all[to]) {
			to++
		}
		if to-from < 3 {
			short = append(short, all[from:to]...)
		} else {
			short = append(short, all[from]+"–"+all[to-1])
		}
		from = to
	}
	return slices.Clip(short)
}

func follows(one, next string) bool {
	of := strings.TrimRight(one, digits)
	n, err := strconv.Atoi(one[len(of):])
	return err == nil && next == of+strconv.Itoa(n+1)
}
