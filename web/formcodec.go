package web

import (
	"encoding"
	"fmt"
	"math"
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/web/view"
)

// A form's fields are named by the path of what they hold, as in the day file:
// "places[0].curve[1].celsius". One walk over the type writes all of them and
// another reads them back, so no field can be forgotten on the way.

// encode names every value in v, a pointer to a struct.
func encode(v any) url.Values {
	out := url.Values{}
	encodeValue(out, "", reflect.ValueOf(v).Elem())
	return out
}

func encodeValue(out url.Values, path string, v reflect.Value) {
	if w, ok := v.Interface().(schedule.Weekdays); ok {
		out[path] = strings.Fields(w.String())
		return
	}
	if m, ok := v.Interface().(encoding.TextMarshaler); ok {
		if b, err := m.MarshalText(); err == nil {
			out.Set(path, string(b))
		}
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			encodeValue(out, under(path, v.Type().Field(i)), v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			encodeValue(out, path, v.Elem())
		}
	case reflect.Slice:
		encodeSlice(out, path, v)
	case reflect.Float64:
		if v.Float() != 0 {
			out.Set(path, decimal(v.Float()))
		}
	case reflect.Int, reflect.Uint64:
		if !v.IsZero() {
			out.Set(path, fmt.Sprint(v.Interface()))
		}
	case reflect.Bool:
		if v.Bool() {
			out.Set(path, "yes")
		}
	case reflect.String:
		out.Set(path, v.String())
	}
}

// encodeSlice writes rows one by one, words and numbers side by side, shares as
// percent.
func encodeSlice(out url.Values, path string, v reflect.Value) {
	switch v.Type().Elem().Kind() {
	case reflect.Struct:
		for i := range v.Len() {
			encodeValue(out, fmt.Sprintf("%s[%d]", path, i), v.Index(i))
		}
	case reflect.String:
		for i := range v.Len() {
			out.Add(path, v.Index(i).String())
		}
	case reflect.Float64:
		words := make([]string, v.Len())
		for i := range words {
			words[i] = decimal(v.Index(i).Float() * shown(v.Type().Elem()))
		}
		out.Set(path, strings.Join(words, " "))
	}
}

// shown is by how much more numbers in a list are shown than they are: bare ones
// are shares and shown as percent, others have a unit.
func shown(t reflect.Type) float64 {
	if t == reflect.TypeFor[float64]() {
		return 100
	}
	return 1
}

// under is the path of a struct's field.
func under(path string, f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if path == "" {
		return name
	}
	return path + "." + name
}

func decimal(x float64) string { return strconv.FormatFloat(math.Round(x*1e6)/1e6, 'f', -1, 64) }

// decode reads what encode wrote into v, a pointer to a struct, and reports
// every field that is not what it should be.
func decode(in url.Values, v any) []view.FieldFault {
	d := decoder{in: in}
	d.value("", reflect.ValueOf(v).Elem())
	return d.faults
}

type decoder struct {
	in     url.Values
	faults []view.FieldFault
}

func (d *decoder) fault(field, what string, args ...any) {
	d.faults = append(d.faults, view.FieldFault{Field: field, What: fmt.Sprintf(what, args...)})
}

func (d *decoder) value(path string, v reflect.Value) {
	text := strings.TrimSpace(d.in.Get(path))
	if c, ok := v.Addr().Interface().(*schedule.Clock); ok {
		*c = d.clock(path, text)
		return
	}
	if _, ok := v.Addr().Interface().(*schedule.Weekdays); ok {
		text = strings.Join(d.in[path], " ") // a box for each
	}
	if m, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if err := m.UnmarshalText([]byte(text)); err != nil {
			d.fault(path, "%s.", err)
		}
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			d.value(under(path, v.Type().Field(i)), v.Field(i))
		}
	case reflect.Pointer:
		if view.Has(d.in, path) {
			v.Set(reflect.New(v.Type().Elem()))
			d.value(path, v.Elem())
		}
	case reflect.Slice:
		d.slice(path, v)
	case reflect.Float64:
		v.SetFloat(d.number(path, text))
	case reflect.Int:
		v.SetInt(int64(d.whole(path, text)))
	case reflect.Uint64:
		v.SetUint(uint64(max(d.whole(path, text), 0)))
	case reflect.Bool:
		v.SetBool(text != "")
	case reflect.String:
		v.SetString(strings.ReplaceAll(text, "\r\n", "\n"))
	}
}

func (d *decoder) slice(path string, v reflect.Value) {
	switch v.Type().Elem().Kind() {
	case reflect.Struct:
		n := view.Count(d.in, path)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			d.value(fmt.Sprintf("%s[%d]", path, i), v.Index(i))
		}
	case reflect.String:
		for _, w := range strings.FieldsFunc(strings.Join(d.in[path], ","), comma) {
			if w = strings.TrimSpace(w); w != "" {
				v.Set(reflect.Append(v, reflect.ValueOf(w).Convert(v.Type().Elem())))
			}
		}
	case reflect.Float64:
		each := v.Type().Elem()
		for w := range strings.FieldsSeq(units.Replace(d.in.Get(path))) {
			x := d.number(path, strings.TrimRight(w, ",;")) / shown(each)
			v.Set(reflect.Append(v, reflect.ValueOf(x).Convert(each)))
		}
	}
}

// units are what may stand in a list of numbers beside them.
var units = strings.NewReplacer("%", " ", "minutes", " ", "min", " ", " and ", " ")

func comma(r rune) bool { return r == ',' || r == ';' }

// number reads 62.5 and 62,5; nothing is zero.
func (d *decoder) number(path, text string) float64 {
	if text == "" {
		return 0
	}
	s := strings.Replace(text, ",", ".", 1)
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || strings.Trim(s, "-.0123456789") != "" {
		d.fault(path, "“%s” is not a number; write it like 62.5.", text)
		return 0
	}
	return x
}

func (d *decoder) whole(path, text string) int {
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		d.fault(path, "“%s” is not a whole number; write it like 24.", text)
	}
	return n
}

// clock reads a time of day.
func (d *decoder) clock(field, text string) schedule.Clock {
	c, err := schedule.TypedClock(text)
	if err != nil {
		d.fault(field, "%s", view.Sentence(err.Error()))
	}
	return c
}
