package view

import "ovenward/store/record"

// passLine says what a pass is for and when it was used.
func passLine(p record.Pass) string {
	s := "calendar"
	if p.Kind == record.DataPass {
		s = "data"
	}
	s += " · since " + p.Made.Format("2 January 2006")
	if p.Used.IsZero() {
		return s + " · never used"
	}
	return s + " · last used " + p.Used.Format("2 January 2006")
}
