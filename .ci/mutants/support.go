package main

import (
	"fmt"
	"strings"
)

// The environment of a run: the mutant that is selected, and the file to which
// the numbers of all mutants are written that are reached.
const (
	selectVariable  = "MUTANT_SELECTED"
	reachedVariable = "MUTANTS_REACHED"
)

// supportFile is added to each package that is rewritten.
const supportFile = "zz_mutants.go"

// supportImports is what that file imports.
var supportImports = []string{"cmp", "os", "strconv", "sync/atomic"}

// supportText is the source of that file; mut_on asks whether a mutant is the one
// that is selected. It is asked only where the answer makes a difference: a
// boundary that no test touches counts as not reached.
const supportText = `package PACKAGE

import (
	"cmp"
	"os"
	"strconv"
	"sync/atomic"
)

var (
	mut_selected, _ = strconv.Atoi(os.Getenv("SELECT"))
	mut_file        = os.Getenv("REACHED")
	mut_seen        [COUNT]atomic.Bool
)

func mut_on(id int) bool {
	if mut_file != "" && !mut_seen[id-FIRST].Swap(true) {
		mut_record(id)
	}
	return id == mut_selected
}

func mut_record(id int) {
	f, err := os.OpenFile(mut_file, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	if _, err := f.WriteString(strconv.Itoa(id) + "\n"); err != nil {
		panic(err)
	}
}

type mut_integer interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~uintptr
}

type mut_number interface{ mut_integer | ~float32 | ~float64 }

func mut_alt[T any](id int, x, other T) T {
	if mut_on(id) {
		return other
	}
	return x
}

func mut_not[B ~bool](id int, x B) B   { return x != B(mut_on(id)) }
func mut_true[B ~bool](id int, x B) B  { return x || B(mut_on(id)) }
func mut_false[B ~bool](id int, x B) B { return x && !B(mut_on(id)) }

func mut_neg[T mut_number](id int, x T) T { return mut_alt(id, x, -x) }
func mut_odd[T ~string](id int, x T) T     { return mut_alt(id, x, x+"\x00") }
func mut_far[T mut_integer](id int, x T) T { return mut_alt(id, x, ^x) }

func mut_lss[T cmp.Ordered](id int, a, b T) bool { return a < b || a == b && mut_on(id) }
func mut_leq[T cmp.Ordered](id int, a, b T) bool { return a < b || a == b && !mut_on(id) }
func mut_gtr[T cmp.Ordered](id int, a, b T) bool { return a > b || a == b && mut_on(id) }
func mut_geq[T cmp.Ordered](id int, a, b T) bool { return a > b || a == b && !mut_on(id) }
`

// operators are those that change into another one, and the name of the function
// that does it. The two signs are those of the function's body.
var operators = []struct{ name, kind, sign, changed string }{
	{"mut_add", "mut_number", "+", "-"}, {"mut_sub", "mut_number", "-", "+"},
	{"mut_mul", "mut_number", "*", "/"}, {"mut_quo", "mut_number", "/", "*"},
	{"mut_rem", "mut_integer", "%", "*"}, {"mut_and", "mut_integer", "&", "|"},
	{"mut_or", "mut_integer", "|", "&"}, {"mut_xor", "mut_integer", "^", "&"},
	{"mut_andnot", "mut_integer", "&^", "&"},
	{"mut_shl", "mut_integer", "<<", ">>"}, {"mut_shr", "mut_integer", ">>", "<<"},
}

// support is the support file of a package with the mutants first to last.
func support(name string, first, count int) string {
	var out strings.Builder
	out.WriteString(strings.NewReplacer("PACKAGE", name, "SELECT", selectVariable, "REACHED", reachedVariable,
		"COUNT", fmt.Sprint(max(1, count)), "FIRST", fmt.Sprint(first)).Replace(supportText))
	for _, o := range operators {
		parameters := "T %s](id int, a, b T"
		if o.sign == "<<" || o.sign == ">>" {
			parameters = "T, S %s](id int, a T, b S"
		}
		fmt.Fprintf(&out, "\nfunc %s["+parameters+") T {\n\tif mut_on(id) {\n\t\treturn a %s b\n\t}\n\treturn a %s b\n}\n",
			o.name, o.kind, o.changed, o.sign)
	}
	return out.String()
}
