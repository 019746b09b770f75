package view

import (
	"fmt"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

func bestAfter(t *schedule.Task) string {
	_, best, _ := t.Range()
	return best.String()
}

func rangeAfter(t *schedule.Task) string {
	low, _, high := t.Range()
	return low.String() + " to " + high.String()
}

// coldNight says whether the shaped pieces last a night in the cold, and why not.
func coldNight(o schedule.ColdNight) string {
	there := fmt.Sprintf("Put into the %s (%s) once shaped, ", o.Place, o.Celsius)
	if o.Stands() {
		return there + "it lasts the night: even by the fastest rise that is likely in the cold it has not gone too far before " + o.TooFar.String() + "."
	}
	return fmt.Sprintf("%sit would have gone too far after %s, by the fastest rise that is likely in the cold: %s. That is why no plan leaves it there overnight.", there, o.TooFar, chilling(o))
}

func chilling(o schedule.ColdNight) string {
	if o.Chilled < 30 {
		return "it has not far to go when it is shaped, and the cold does not stop it"
	}
	return fmt.Sprintf("a piece of %s takes %s until its middle is down to %s, and rises all the while", o.Piece, o.Chilled, o.Celsius+4)
}

// nightHelp says what would have it last longer, nothing where it lasts.
func nightHelp(o schedule.ColdNight) string {
	if o.Stands() {
		return ""
	}
	var helps []string
	for _, h := range []struct {
		what string
		then unit.Minutes
	}{{"half of the yeast", o.HalfYeast}, {"dough 4\u00a0°C cooler off the mixer", o.Cooler}, {"pieces half as heavy, for they cool faster", o.Half}} {
		if h.then >= o.TooFar+15 {
			helps = append(helps, fmt.Sprintf("%s (too far after %s)", h.what, h.then))
		}
	}
	helps = append(helps, "flat pieces on a thin tray; or the whole dough into the cold while it is young, pressed flat, and shaped cold")
	return "What helps: " + strings.Join(helps, "; ") + "."
}
