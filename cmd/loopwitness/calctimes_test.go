package main

import (
	"math"
	"strings"
	"testing"
)

// Whatever a file holds, no number that is none is read from it.
func FuzzNumbers(f *testing.F) {
	f.Add("response / s\n# x\n1.5\n\n2e3\n")
	f.Add("NaN\n")
	f.Fuzz(func(t *testing.T, text string) {
		values, err := readNumbers("f", strings.NewReader(text))
		if err != nil && !strings.HasPrefix(err.Error(), "f:") {
			t.Fatal(err)
		}
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatal(v)
			}
		}
	})
}
