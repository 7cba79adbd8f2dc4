package words

// AsRead is a value with its unit, as the site file or the record holds it: a language writes
// its decimal sign, and the few words in it, as its own.
type AsRead string

// ChemistryOf is what a battery is made of, by the code of the site file.
type ChemistryOf string

// Code names it.
func (AsRead) Code() string      { return "as-read" }
func (ChemistryOf) Code() string { return "chemistry" }
