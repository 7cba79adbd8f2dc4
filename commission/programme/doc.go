// Package programme is what a visit of a kind has to take at a site: its steps in their
// order, and the checklists that some of them come from.
package programme
