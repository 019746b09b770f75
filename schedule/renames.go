package schedule

// Renames are the new names of tins, trays and places by their old ones. All are
// given at once, so that two may change names with each other.
type Renames struct {
	Tins, Trays, Places map[string]string
}

// None reports whether nothing is called otherwise.
func (r Renames) None() bool { return len(r.Tins)+len(r.Trays)+len(r.Places) == 0 }

// Bread has a bread follow, and reports whether that changed it.
func (r Renames) Bread(b *Bread) bool {
	tin, tray := follow(&b.Tin, r.Tins), follow(&b.Tray, r.Trays)
	return r.method(b.Method) || tin || tray
}

// Base has a base dough follow, and reports whether that changed it.
func (r Renames) Base(b *Base) bool { return r.method(b.Method) }

// method has the places of stages follow.
func (r Renames) method(stages []Stage) (changed bool) {
	for i := range stages {
		s := &stages[i]
		changed = follow(&s.Place, r.Places) || changed
		if s.Chill != nil {
			changed = follow(&s.Chill.Place, r.Places) || changed
		}
	}
	return changed
}

func follow(name *string, names map[string]string) bool {
	now, ok := names[*name]
	if !ok || *name == "" || now == *name {
		return false
	}
	*name = now
	return true
}
