package bundle

import (
	"reflect"
	"time"
)

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
