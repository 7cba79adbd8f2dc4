// Package strictyaml reads small YAML files that people write by hand, and
// refuses whatever it does not know: every problem is collected with its line
// and column, and no scalar is ever converted on the way (0123 stays "0123").
//
// Hostile files are refused before any work is done for them: more than 1 MiB,
// text that is no UTF-8, aliases (never expanded), tags, several documents.
package strictyaml
