// Package checks holds the computation behind the verdicts: numbers in,
// numbers and verdicts out. It reads no file, no clock and no site; every
// function states its formula, units, range and source.
package checks
