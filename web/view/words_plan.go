package view

import (
	"fmt"
	"strconv"

	"ovenward/schedule"
	"ovenward/store/record"
)

func breadOptions(breads []record.Name) []Option {
	out := []Option{{"", "choose a bread"}}
	for _, b := range breads {
		out = append(out, Option{b.ID, b.Name})
	}
	return out
}

// orderLegend names a line by what is wished for in it.
func orderLegend(f *Form, i int, breads []record.Name) string {
	for _, b := range breads {
		if b.ID == f.get(row("orders", i, "bread")) {
			return fmt.Sprintf("%d. %s %s", i+1, f.get(row("orders", i, "pieces")), b.Name)
		}
	}
	return fmt.Sprintf("Line %d", i+1)
}

// roomHint says what the room's own curve has at noon.
func roomHint(k schedule.Kitchen) string {
	b, ok := k.Place("")
	if !ok {
		return "empty = as in the kitchen"
	}
	return fmt.Sprintf("empty = the kitchen's, %s; the whole day moves with it", b.At(12*60))
}

// lateOptions say how much a late minute of a line matters against one of the
// others; a number of one's own stays as it is.
func lateOptions(now string) []Option {
	usual := Option{"", "usual"}
	if now == "1" { // the same, said
		usual.Value = now
	}
	out := []Option{usual, {"3", "high"}, {"10", "highest"}}
	if n, err := strconv.Atoi(now); err == nil && n > 1 && n != 3 && n != 10 {
		out = append(out, Option{now, now + " times"})
	}
	return out
}
