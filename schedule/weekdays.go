package schedule

import (
	"fmt"
	"strings"
	"time"
)

// Weekdays is a set of days of the week, "mon wed sat" in files.
type Weekdays int

// EveryDay is the whole week.
const EveryDay Weekdays = 1<<7 - 1

// weekdayWords are as in files, from Monday on as bakers count.
var weekdayWords = [...]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// On is the set of some days.
func On(days ...time.Weekday) (w Weekdays) {
	for _, d := range days {
		w |= 1 << ((d + 6) % 7)
	}
	return w
}

// Has reports whether a day is in the set.
func (w Weekdays) Has(d time.Weekday) bool { return w&On(d) != 0 }

func (w Weekdays) String() string {
	var words []string
	for i, word := range weekdayWords {
		if w&(1<<i) != 0 {
			words = append(words, word)
		}
	}
	return strings.Join(words, " ")
}

// MarshalText writes "mon wed sat".
func (w Weekdays) MarshalText() ([]byte, error) {
	if w < 0 || w > EveryDay {
		return nil, fmt.Errorf("%d is no set of weekdays", int(w))
	}
	return []byte(w.String()), nil
}

// UnmarshalText reads days in any order, also parted by commas; nothing is none.
func (w *Weekdays) UnmarshalText(b []byte) error {
	*w = 0
next:
	for _, f := range strings.FieldsFunc(string(b), func(r rune) bool { return r == ' ' || r == ',' }) {
		for i, word := range weekdayWords {
			if strings.EqualFold(f, word) {
				*w |= 1 << i
				continue next
			}
		}
		return fmt.Errorf("%q is not a weekday; write it as mon", f)
	}
	return nil
}
