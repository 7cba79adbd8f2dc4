// Package alltexts walks through the texts of a value, for tests that hold all of them
// against something: one of a kind that is new, too. Only tests import it.
package alltexts

import (
	"reflect"
	"slices"
)

// Each tells every text in the exported fields, items and values that are reachable from v,
// with its place: the type and name of the field that it is in, place itself outside of any.
// Places that are left out are not entered.
func Each(v any, place string, tell func(place, text string), leftOut ...string) {
	walk{tell, leftOut}.through(reflect.ValueOf(v), place)
}

type walk struct {
	tell    func(place, text string)
	leftOut []string
}

func (w walk) through(v reflect.Value, place string) {
	if slices.Contains(w.leftOut, place) {
		return
	}
	switch v.Kind() {
	case reflect.String:
		w.tell(place, v.String())
	case reflect.Interface, reflect.Pointer:
		if !v.IsNil() {
			w.through(v.Elem(), place)
		}
	case reflect.Slice:
		for i := range v.Len() {
			w.through(v.Index(i), place)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			w.through(v.MapIndex(key), place)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				w.through(v.Field(i), v.Type().Name()+"."+f.Name)
			}
		}
	}
}
