package main

import (
	"cmp"
	"hash/fnv"
	"slices"
)

// sample chooses n of a target's mutants, by what their keys hash to: always the
// same ones, and most of them still the same when some code has changed. With n = 0, all.
func sample(t *target, n int) []*mutant {
	var in []*mutant
	for _, m := range t.mutants {
		if m.out == "" {
			in = append(in, m)
		}
	}
	if n <= 0 || n >= len(in) {
		return in
	}
	slices.SortFunc(in, func(a, b *mutant) int {
		return cmp.Or(cmp.Compare(hash(a), hash(b)), cmp.Compare(a.key(), b.key()))
	})
	for _, m := range in[n:] {
		m.out = notChosen
	}
	return in[:n]
}

func hash(m *mutant) uint64 {
	h := fnv.New64a()
	h.Write([]byte(m.key()))
	return h.Sum64()
}
