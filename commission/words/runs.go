package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/kit/runs"
)

// Runs lists zones, points or ids; three or more that follow on each other as first–last.
func Runs[T any](of []T) string {
	all := make([]string, len(of))
	for i, one := range of {
		all[i] = fmt.Sprint(one)
	}
	return strings.Join(runs.Short(all), ", ")
}
