package dayfile

import (
	"encoding"
	"iter"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// shape compares a value with the type it is to become.
func (r *reader) shape(n *node, t reflect.Type, path string) {
	if n.kind == null && (t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice) {
		return
	}
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		r.worded(n, t, path)
		return
	}
	switch t.Kind() {
	case reflect.Struct:
		r.group(n, t, path)
	case reflect.Slice:
		if r.wants(n, array, path) {
			for i := range n.items {
				r.shape(&n.items[i], t.Elem(), index(path, i))
			}
		}
	case reflect.String:
		r.wants(n, text, path)
	case reflect.Bool:
		r.wants(n, boolean, path)
	default:
		if r.wants(n, number, path) {
			r.numeral(n, t, path)
		}
	}
}

// wants reports, and says, whether n is what is wanted.
func (r *reader) wants(n *node, want kind, path string) bool {
	if n.kind == want {
		return true
	}
	remedy := "write " + string(want)
	switch {
	case want == number && n.kind == text:
		remedy = "write the number alone, without quotation marks or unit" + counts(path)
	case want == text && n.kind == number:
		remedy = "put it in quotation marks"
	}
	what := "this is " + string(n.kind)
	if n.kind == text || n.kind == number {
		what = shown(n) + " is " + string(n.kind)
	}
	r.fault(n.at, path, what+" where "+string(want)+" belongs", remedy)
	return false
}

func shown(n *node) string {
	if n.kind == number {
		return short(n.text)
	}
	return quote(n.text)
}

// numeral refuses numbers their type cannot hold.
func (r *reader) numeral(n *node, t reflect.Type, path string) {
	v, err := strconv.ParseFloat(n.text, 64)
	switch {
	case err != nil || math.IsInf(v, 0):
		r.fault(n.at, path, short(n.text)+" is beyond any number", "give a number of usual size")
	case t.Kind() == reflect.Float64:
	case v != math.Trunc(v) || strings.ContainsAny(n.text, ".eE"):
		r.fault(n.at, path, short(n.text)+" is not a whole number", "write it without decimals")
	case t.Kind() == reflect.Uint64 && v < 0:
		r.fault(n.at, path, short(n.text)+" is below 0", "give 0 or more")
	case t.Kind() == reflect.Uint64 && v >= 1<<64 || t.Kind() != reflect.Uint64 && math.Abs(v) >= 1<<53:
		r.fault(n.at, path, short(n.text)+" is too large", "give a number of usual size")
	}
}

// worded checks text that has a form: a time of day, an instant, a word of a
// fixed list.
func (r *reader) worded(n *node, t reflect.Type, path string) {
	if !r.wants(n, text, path) {
		return
	}
	v := reflect.New(t).Interface().(encoding.TextUnmarshaler)
	err := v.UnmarshalText([]byte(n.text))
	if err == nil {
		return
	}
	what, remedy, ok := strings.Cut(err.Error(), "; ")
	if _, instant := v.(*time.Time); instant {
		what, remedy, ok = quote(n.text)+" is not an instant", "write it as 2026-11-28T08:00:00Z", true
	}
	if !ok {
		remedy = "see the schema for the words allowed"
	}
	r.fault(n.at, path, what, remedy)
}

// group compares an object with a struct, field by field.
func (r *reader) group(n *node, t reflect.Type, path string) {
	if !r.wants(n, object, path) {
		return
	}
	seen := map[string]bool{}
	for i := range n.fields {
		if r.full() {
			return
		}
		f := &n.fields[i]
		here := join(path, f.name)
		ft, known := fieldType(t, f.name)
		switch {
		case !known:
			r.unknown(f, t, path)
		case seen[f.name]:
			r.fault(f.at, here, "this is given twice", "keep one of the two")
		default:
			r.shape(&f.value, ft, here)
		}
		seen[f.name] = true
	}
}

// fieldType finds the struct field with a JSON name.
func fieldType(t reflect.Type, name string) (reflect.Type, bool) {
	for f := range fields(t) {
		if jsonName(f) == name {
			return f.Type, true
		}
	}
	return nil, false
}

// fields are those of a struct as a file has them: embedded ones beside its own.
func fields(t reflect.Type) iter.Seq[reflect.StructField] {
	return func(yield func(reflect.StructField) bool) {
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.Anonymous {
				if !yield(f) {
					return
				}
				continue
			}
			for g := range fields(f.Type) {
				if !yield(g) {
					return
				}
			}
		}
	}
}

func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}
