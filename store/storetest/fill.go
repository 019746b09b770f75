package storetest

import (
	"math/rand/v2"
	"reflect"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
)

// Fill gives a value, by its pointer, any content that can be written down: finite
// numbers, whole milliseconds, times of day that exist.
func Fill(r *rand.Rand, v any) { fill(r, reflect.ValueOf(v).Elem(), 0) }

func fill(r *rand.Rand, v reflect.Value, depth int) {
	switch v.Interface().(type) {
	case time.Time:
		v.Set(reflect.ValueOf(time.UnixMilli(r.Int64N(4e12)).UTC()))
		return
	case schedule.Clock:
		v.SetInt(r.Int64N(24*60 + 1))
		return
	case dough.Role:
		v.SetInt(r.Int64N(int64(dough.Inclusion) + 1))
		return
	case schedule.Weekdays:
		v.SetInt(r.Int64N(int64(schedule.EveryDay) + 1))
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(r.IntN(2) == 0)
	case reflect.Int, reflect.Int64:
		v.SetInt(r.Int64() - r.Int64())
	case reflect.Uint64:
		v.SetUint(r.Uint64())
	case reflect.Float64:
		v.SetFloat(r.NormFloat64() * 1e3)
	case reflect.String:
		words := []string{"", "bun", "Brötchen — süß", `a"b\c</script>`, "\x00\n\u2028", "🥖", "'; DROP TABLE day; --"}
		v.SetString(words[r.IntN(len(words))])
	case reflect.Pointer:
		if r.IntN(3) > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			fill(r, v.Elem(), depth+1)
		}
	case reflect.Slice:
		for range r.IntN(max(1, 4-depth)) {
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			fill(r, v.Index(v.Len()-1), depth+1)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(r, v.Field(i), depth)
		}
	default:
		panic("no random " + v.Type().String())
	}
}
