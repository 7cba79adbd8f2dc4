package dryrun

// readingForgeries are wrong about readings, instruments, texts, names and checklists.
var readingForgeries = []Forgery{}
