// Package due looks through the folders of many jobs for what is due: next visits, what was
// found and is not put right, batteries by their age, instruments by their calibration. It
// reads, and changes nothing.
//
// A journal that cannot be read is told and hides no other job. What is not known is listed as
// not known: a system without an agreed interval is never left out.
package due
