package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestKept(t *testing.T) {
	const before = "one\ntwo\nthr"
	for after, lost := range map[string]string{
		"one\ntwo\n":            "",
		"one\ntwo\nthree\n":     "",
		"one\ntwo\nother\nfou":  "",
		"one\n":                 "line 2 of 2",
		"":                      "line 1 of 2",
		"one\ntw":               "line 2 of 2",
		"One\ntwo\nthree\n":     "line 1 of 2",
		"zero\none\ntwo\nthr\n": "line 1 of 2",
	} {
		if err := kept([]byte(before), []byte(after)); lost == "" {
			assert.NoError(t, err, after)
		} else {
			assert.ErrorContains(t, err, lost, after)
		}
	}
	assert.NoError(t, kept([]byte("torn"), nil), "nothing was whole")
}
