package view

import (
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// stageLine is a stage of a form in one line: "3. Bulk rise · until doubled · may
// be held cold, 6 h to 12 h". What is typed and is no number stands as typed.
func (w Words) stageLine(f *Form, s string, i int) string {
	kind := schedule.StageKind(f.get(s + ".kind"))
	part := f.get(s + ".part")
	name := w.Verb(kind)
	if part != "" {
		name = w.verbOf(kind)
	}
	out := []string{itoa(i+1) + ". " + name}
	add := func(before, what, after string) {
		if what != "" {
			out = append(out, before+what+after)
		}
	}
	add("", part, "")
	add("“", f.get(s+".label"), "”")
	if kind.Work() {
		add("", f.minutes(s+".minutes"), "")
		add("", f.get(s+".seconds_per_piece"), "\u00a0s a piece")
	}
	if kind == schedule.Mix {
		add("", f.get(s+".dough_celsius"), "\u00a0°C off the mixer")
	}
	if kind.Waits() {
		add("", f.span(s), "")
	}
	if kind.Rises() {
		add("until ", w.goal(f, s), "")
		add("folds at ", listed(f.get(s+".fold_minutes"), "min"), "\u00a0min")
		add("folds at ", listed(f.get(s+".folds"), "%"), "\u00a0% of the way")
	}
	if kind.Waits() || kind.Rises() {
		add("in ", f.get(s+".place"), "")
	}
	if kind.Rises() && f.get(s+".chill.place") != "" {
		cold := "may be held cold, "
		if f.get(s+".chill.always") != "" {
			cold = "always cold, "
		}
		add(cold, f.span(s+".chill"), "")
	}
	if kind == schedule.Bake {
		add("", f.baking(s), "")
	}
	return strings.Join(out, " · ")
}

// listed are numbers typed side by side, without their unit.
func listed(typed, unit string) string {
	return list(strings.FieldsFunc(strings.ReplaceAll(typed, unit, " "), func(c rune) bool { return c == ' ' || c == ',' || c == ';' }))
}

// goal is how far a rise should go.
func (w Words) goal(f *Form, s string) string {
	word := f.get(s + ".until.word")
	if x := f.get(s + ".until.expansion"); word == "" && x != "" {
		return "×" + x
	}
	if word == "" {
		return ""
	}
	return w.until(schedule.TargetWord(word))
}

// minutes is a while as it is said, or as it is typed.
func (f *Form) minutes(name string) string {
	v := f.get(name)
	if x, err := strconv.ParseFloat(strings.Replace(v, ",", ".", 1), 64); err == nil && x >= 0 && x < 1e6 {
		return unit.Minutes(x).String()
	}
	return v
}

// span is from the least to the most of a wait.
func (f *Form) span(path string) string {
	least, most := f.minutes(path+".least_minutes"), f.minutes(path+".most_minutes")
	switch {
	case least == "" && most == "":
		return ""
	case least == "":
		return "up to " + most
	case most == "" || most == least:
		return least
	}
	return least + " to " + most
}

// baking are the steps of a bake, first to last.
func (f *Form) baking(s string) string {
	var steps []string
	for n := range f.rows(s + ".steps") {
		step := f.get(row(s+".steps", n, "celsius")) + "\u00a0°C " + f.minutes(row(s+".steps", n, "minutes"))
		if f.get(row(s+".steps", n, "steam")) != "" {
			step += " with steam"
		}
		steps = append(steps, step)
	}
	return strings.Join(steps, ", then ")
}

// lineMore says what else there is to do about an ingredient, and what else is
// written about it.
func (f *Form) lineMore(path string) string {
	more := "Move, remove, more"
	if name := f.get(path + ".name"); name != "" {
		more += " · called " + name
	}
	if part := f.get(path + ".part"); part != "" {
		more += " · into the " + part
	}
	if f.has(path + ".own") {
		more += " · own composition"
	}
	return more
}

// opens reports whether a part of a form that is folded away is to be open: it
// has a fault, or was changed by the button just pressed.
func (f *Form) opens(path string) bool {
	for _, x := range f.Faults {
		if x.Href == "" && beneath(x.Field, path) {
			return true
		}
	}
	return beneath(f.Touched, path)
}

func beneath(field, path string) bool { return field == path || strings.HasPrefix(field, path+".") }

// opensMore is opens for what else there is about an ingredient; a new one needs
// none of it yet.
func (f *Form) opensMore(path string) bool {
	return f.Touched == path && f.get(path+".food") != "" || f.opens(path+".own") || f.opens(path+".name") || f.opens(path+".part")
}
