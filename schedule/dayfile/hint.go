package dayfile

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// unit is how field names end in what they count.
type unit struct {
	suffix string
	symbol string
	into   string                // suffix of the file's own unit
	conv   func(float64) float64 // nil for the file's own units
}

func times(k float64) func(float64) float64 { return func(v float64) float64 { return v * k } }

// units are the file's own and those people write instead.
var units = [...]unit{
	{"_celsius", "°C", "_celsius", nil},
	{"_grams", "g", "_grams", nil},
	{"_minutes", "minutes", "_minutes", nil},
	{"_fahrenheit", "°F", "_celsius", func(f float64) float64 { return (f - 32) * 5 / 9 }},
	{"_kelvin", "K", "_celsius", func(k float64) float64 { return k - 273.15 }},
	{"_kg", "kg", "_grams", times(1000)},
	{"_kilograms", "kg", "_grams", times(1000)},
	{"_lb", "lb", "_grams", times(453.59237)},
	{"_pounds", "lb", "_grams", times(453.59237)},
	{"_oz", "oz", "_grams", times(28.349523125)},
	{"_ounces", "oz", "_grams", times(28.349523125)},
	{"_hours", "h", "_minutes", times(60)},
	{"_seconds", "s", "_minutes", times(1. / 60)},
}

func unitOf(name string) (unit, bool) {
	for _, u := range units {
		if strings.HasSuffix("_"+name, u.suffix) {
			return u, true
		}
	}
	return unit{}, false
}

// counts ends a remedy with the unit of a field, where its name has one.
func counts(path string) string {
	name := path[strings.LastIndexByte(path, '.')+1:]
	if u, ok := unitOf(name); ok && u.conv == nil {
		return "; " + name + " counts in " + u.symbol
	}
	return ""
}

// unknown words a field the file format does not have.
func (r *reader) unknown(f *field, t reflect.Type, path string) {
	if r.full() {
		return
	}
	var known []string
	for field := range fields(t) {
		known = append(known, jsonName(field))
	}
	r.fault(f.at, join(path, f.name), "there is no field "+quote(f.name)+" here", remedy(f, known))
}

func remedy(f *field, known []string) string {
	if s := otherUnit(f, known); s != "" {
		return s
	}
	if best, d := nearest(f.name, known); d <= (len(f.name)+1)/3 {
		return "did you mean " + quote(best) + "?"
	}
	return "take it away, or use one of " + strings.Join(known, ", ")
}

// otherUnit recognises a known field in a unit the file does not count in.
func otherUnit(f *field, known []string) string {
	u, ok := unitOf(f.name)
	if !ok || u.conv == nil {
		return ""
	}
	stem := strings.TrimSuffix("_"+f.name, u.suffix)
	for _, name := range known {
		if "_"+name != stem+u.into {
			continue
		}
		own, _ := unitOf(name)
		s := fmt.Sprintf("write %s, in %s", quote(name), own.symbol)
		if v, err := strconv.ParseFloat(f.value.text, 64); err == nil {
			s += fmt.Sprintf("; %s %s is %.5g %s", f.value.text, u.symbol, u.conv(v), own.symbol)
		}
		return s
	}
	return ""
}

// nearest is the known name with the least edits from name, capitals and
// hyphens forgiven.
func nearest(name string, known []string) (string, int) {
	name = strings.ToLower(strings.ReplaceAll(name, "-", "_"))
	best, least := "", len(name)+1
	for _, k := range known {
		if d := edits(name, k); d < least {
			best, least = k, d
		}
	}
	return best, least
}

// edits is the Levenshtein distance.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
