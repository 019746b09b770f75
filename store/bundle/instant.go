package bundle

import (
	"reflect"
	"time"
)

// zones are time zones by name, each looked up once.
type zones map[string]*time.Location

// in finds a zone; false, and UTC, where there is none of that name.
func (z zones) in(name string) (*time.Location, bool) {
	loc, seen := z[name]
	if !seen {
		if name != "" && name != "Local" {
			loc, _ = time.LoadLocation(name)
		}
		z[name] = loc
	}
	if loc == nil {
		return time.UTC, false
	}
	return loc, true
}

// relocate puts every instant within v, a pointer, into loc; the zero instant
// stays. It changes what v points to.
func relocate(v any, loc *time.Location) { inZone(reflect.ValueOf(v).Elem(), loc) }

func inZone(v reflect.Value, loc *time.Location) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			inZone(v.Elem(), loc)
		}
	case reflect.Slice:
		for i := range v.Len() {
			inZone(v.Index(i), loc)
		}
	case reflect.Struct:
		if t, ok := v.Addr().Interface().(*time.Time); ok {
			if !t.IsZero() {
				*t = t.In(loc)
			}
			return
		}
		for i := range v.NumField() {
			inZone(v.Field(i), loc)
		}
	}
}
