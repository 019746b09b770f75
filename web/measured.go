package web

import (
	"maps"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"ovenward/web/view"
)

// A kitchen's oven is timed and its tins are measured; what is typed so becomes
// what the planner reckons with.
var (
	// "20 to 230 °C in 35 min"
	timed = regexp.MustCompile(`(?i)^([\d.,]+)\s*(?:°\s*c?)?\s*(?:to|-|–|→)\s*([\d.,]+)\s*(?:°\s*c?)?\s*(?:in|,|/)\s*([\d.,]+)\s*(?:min|mins|minutes?)?\.?$`)
	// "30 x 11 x 10 cm"
	sides = regexp.MustCompile(`(?i)^([\d.,]+)\s*(?:cm)?\s*[x×*]\s*([\d.,]+)\s*(?:cm)?\s*[x×*]\s*([\d.,]+)\s*(?:cm)?$`)
	// "1700 g of water", "1.7 l"
	filled = regexp.MustCompile(`(?i)^([\d.,]+)\s*(kg|g|l|litres?|liters?|ml)(?:\s+(?:of\s+)?water)?$`)
)

// measuredKitchen is a kitchen's form with what was measured worked out; what
// cannot be read stays and is found by whoever decodes it.
func measuredKitchen(typed url.Values) url.Values {
	out := maps.Clone(typed)
	for i := range view.Count(typed, "ovens") {
		for _, field := range []string{"heats_per_minute", "cools_per_minute"} {
			work(out, "ovens", i, field, rate)
		}
	}
	for i := range view.Count(typed, "tins") {
		work(out, "tins", i, "litres", litres)
	}
	return out
}

// work replaces one field by what it comes to.
func work(v url.Values, list string, i int, field string, by func(string) (float64, bool)) {
	name := list + "[" + strconv.Itoa(i) + "]." + field
	if x, ok := by(strings.TrimSpace(v.Get(name))); ok {
		v.Set(name, strconv.FormatFloat(math.Round(1000*x)/1000, 'f', -1, 64))
	}
}

// rate is how many degrees a minute an oven was timed at.
func rate(text string) (float64, bool) {
	x, ok := figures(timed, text)
	if !ok || x[2] == 0 {
		return 0, false
	}
	return math.Abs(x[1]-x[0]) / x[2], true
}

// litres is what a tin holds, by its inner sides or by the water in it.
func litres(text string) (float64, bool) {
	if x, ok := figures(sides, text); ok {
		return x[0] * x[1] * x[2] / 1000, true
	}
	m := filled.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	x, ok := figure(m[1])
	switch unit := strings.ToLower(m[2]); {
	case !ok:
		return 0, false
	case unit == "g":
		return x / waterPerLitre, true
	case unit == "kg":
		return 1000 * x / waterPerLitre, true
	case unit == "ml":
		return x / 1000, true
	}
	return x, true
}

// figures are the three numbers of a measurement.
func figures(of *regexp.Regexp, text string) (x [3]float64, ok bool) {
	m := of.FindStringSubmatch(text)
	if m == nil {
		return x, false
	}
	for i := range x {
		if x[i], ok = figure(m[i+1]); !ok {
			return x, false
		}
	}
	return x, true
}

// figure reads 62.5 and 62,5.
func figure(text string) (float64, bool) {
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return x, err == nil
}
