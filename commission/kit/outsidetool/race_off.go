//go:build !race

package outsidetool

// Racing tells that the race detector is on: times and memory are then not the program's.
const Racing = false
