// Package record folds a journal into what happened at a visit: the facts, the trials and
// what each showed. It draws no conclusion about the system. A journal may come from
// anybody: what no visit could have written is refused with the number of its entry.
package record
