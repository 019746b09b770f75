package schedule

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with what a baker entered: where, what, and how to
// mend it. All three are sentences for a person.
type Fault struct {
	Where  string `json:"where"`  // path of the field, as in the day file: "kitchen.ovens[0].max_celsius"
	What   string `json:"what"`   // "900 °C is hotter than any bread oven"
	Remedy string `json:"remedy"` // "give the hottest the oven really gets, 230 to 350 °C"
}

func (f Fault) String() string { return f.Where + ": " + f.What + "; " + f.Remedy }

// Faults is every fault of an input at once. It is an error when not empty.
type Faults []Fault

func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// Err is nil for no faults, so that callers do not return a typed nil.
func (fs Faults) Err() error {
	if len(fs) == 0 {
		return nil
	}
	return fs
}

func (fs *Faults) add(where, what, remedy string, args ...any) {
	*fs = append(*fs, Fault{where, fmt.Sprintf(what, args...), remedy})
}
