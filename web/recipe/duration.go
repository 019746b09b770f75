package recipe

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// longestTime is the longest duration believed.
const longestTime = 31 * 24 * time.Hour

var iso = regexp.MustCompile(`^P(?:(\d+(?:[.,]\d+)?)W)?(?:(\d+(?:[.,]\d+)?)D)?(?:T(?:(\d+(?:[.,]\d+)?)H)?(?:(\d+(?:[.,]\d+)?)M)?(?:(\d+(?:[.,]\d+)?)S)?)?$`)

// parseDuration reads an ISO 8601 duration of weeks, days, hours, minutes and
// seconds: "PT90M", "P0DT1H30M". Months and years have no length; nothing, zero
// and more than a month are no duration here.
func parseDuration(s string) (time.Duration, bool) {
	m := iso.FindStringSubmatch(strings.ToUpper(strings.TrimSpace(s)))
	if m == nil {
		return 0, false
	}
	var total float64
	for i, u := range []time.Duration{7 * 24 * time.Hour, 24 * time.Hour, time.Hour, time.Minute, time.Second} {
		if v, err := strconv.ParseFloat(strings.Replace(m[i+1], ",", ".", 1), 64); err == nil {
			total += v * float64(u)
		}
	}
	if !(total > 0 && total <= float64(longestTime)) {
		return 0, false
	}
	return time.Duration(total).Round(time.Second), true
}

// isoMinutes writes whole minutes as a duration: "PT1H30M".
func isoMinutes(m int) string {
	s := "PT"
	if m >= 60 {
		s += strconv.Itoa(m/60) + "H"
	}
	if m%60 > 0 || m < 60 {
		s += strconv.Itoa(m%60) + "M"
	}
	return s
}
