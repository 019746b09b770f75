package bundle

import (
	"fmt"
	"strings"

	"ovenward/schedule"
)

// Faults lists what is wrong with kitchen, base doughs and breads as
// [schedule.Day.Validate] judges them, with paths in the bundle. Nothing in it
// keeps the bundle from being taken in; it is what the pages would not save.
// Without a kitchen nothing can be judged.
func (b *Bundle) Faults() schedule.Faults {
	if b.Kitchen == nil {
		return nil
	}
	d := schedule.Day{Format: schedule.DayFormat, Name: "all", Zone: "UTC", Now: "2000-01-01T00:00", Kitchen: b.Kitchen.Kitchen}
	paths := map[string]string{} // of the day, in the bundle
	for i, base := range b.Bases {
		if !base.Retired {
			paths[fmt.Sprintf("bases[%d]", len(d.Bases))] = fmt.Sprintf("bases[%d]", i)
			d.Bases = append(d.Bases, base.Base)
		}
	}
	for i, bread := range b.Breads {
		if !bread.Retired {
			paths[fmt.Sprintf("breads[%d]", len(d.Breads))] = fmt.Sprintf("breads[%d]", i)
			d.Breads = append(d.Breads, bread.Bread)
		}
	}
	schedule.Dress(b.Foods, d.Bases, d.Breads)
	var all schedule.Faults
	for _, f := range d.Validate() {
		list, rest, _ := strings.Cut(f.Where, "]")
		to, ok := paths[list+"]"]
		switch {
		case ok:
			f.Where = to + rest
		case !strings.HasPrefix(f.Where, "kitchen"):
			continue // of the day this is judged in
		}
		all = append(all, f)
	}
	return all
}
