package schedule

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// typedClock is hours and minutes with something between them, or the hour alone.
var typedClock = regexp.MustCompile(`^([0-9]{1,2})(?:[:.,h]([0-9]{2})|h)?$`)

// TypedClock reads a time of day of 24 hours as people type it: 5:40, 05.40,
// 0540, 17h30, 17 h, 7. What it cannot read it says how to write.
func TypedClock(s string) (Clock, error) {
	text := strings.ToLower(strings.Join(strings.Fields(s), ""))
	if n := len(text); n > 2 && n < 5 && strings.Trim(text, "0123456789") == "" {
		text = text[:n-2] + ":" + text[n-2:]
	}
	if m := typedClock.FindStringSubmatch(text); m != nil {
		hours, _ := strconv.Atoi(m[1])
		minutes, _ := strconv.Atoi("0" + m[2])
		if minutes < 60 && 60*hours+minutes <= 24*60 {
			return Clock(60*hours + minutes), nil
		}
	}
	if text == "" {
		return 0, errors.New("this is empty; give a time like 06:30")
	}
	return 0, fmt.Errorf("“%s” is not a time of day; write it as 06:30", s)
}
