package schedule

import (
	"reflect"
	"time"
)

// Relocate puts every instant within v, a pointer, into loc: JSON keeps instants
// and their offset but not the zone's name. The zero instant stays.
func Relocate(v any, loc *time.Location) { relocate(reflect.ValueOf(v).Elem(), loc) }

func relocate(v reflect.Value, loc *time.Location) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			relocate(v.Elem(), loc)
		}
	case reflect.Slice:
		for i := range v.Len() {
			relocate(v.Index(i), loc)
		}
	case reflect.Struct:
		if t, ok := v.Addr().Interface().(*time.Time); ok {
			if !t.IsZero() {
				*t = t.In(loc)
			}
			return
		}
		for i := range v.NumField() {
			relocate(v.Field(i), loc)
		}
	}
}
