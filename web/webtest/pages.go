package webtest

// Look is a page to be looked at.
type Look struct {
	Name string // of its pictures
	Path string // on the example day
}

// Pages are the pages of the program on the example day. A test of package web
// holds them to the router, so that none is forgotten.
func Pages() []Look {
	return []Look{
		{"days", "/days"},
		{"now", "/days/1/now"},
		{"day", "/days/1"},
		{"sheet", "/days/1/sheet"},
		{"plan", "/days/1/plan"},
		{"ways", "/days/1/ways"},
		{"week", "/week?from=2026-11-23"},
		{"week-totals", "/week/totals?from=2026-11-23"},
		{"totals", "/days/1/totals"},
		{"copy", "/days/1/copy"},
		{"standing", "/standing"},
		{"new-standing", "/standing/new"},
		{"breads", "/breads"},
		{"bread", "/breads/slipway"},
		{"forecast", "/breads/slipway/forecast"},
		{"scale", "/breads/currant-bun/scale"},
		{"scale-by-tin", "/breads/pan-loaf/scale?by=tin&tins=3&long=22&wide=10&high=9"},
		{"new-bread", "/breads/new"},
		{"base", "/bases/milk-dough"},
		{"new-base", "/bases/new"},
		{"kitchen", "/kitchen"},
		{"guide", "/guide"},
		{"first-bread", "/guide/bread"},
		{"foods", "/foods"},
		{"food", "/foods/bread-flour"},
		{"new-food", "/foods/new"},
		{"settings", "/settings"},
		{"labels", "/days/1/labels"},
		{"bench", "/days/1/bench"},
		{"inout", "/inout"},
		{"programs", "/programs"},
		{"api", "/api"},
		{"import-recipe", "/breads/import"},
		{"learned", "/learned"},
		{"happened", "/days/1/slip"},
		{"happened-to", "/days/1/slip?task=A.2"},
		{"choices", "/days/1/choices"},
		{"went", "/days/1/went"},
	}
}
