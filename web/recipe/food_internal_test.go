package recipe

import (
	"testing"

	"ovenward/schedule/dough"
)

// Every other name leads to foods there are, and no name stands twice.
func TestOtherNames(t *testing.T) {
	t.Parallel()
	seen := map[string]string{}
	for _, o := range otherNames {
		for _, slug := range o.slugs {
			if _, ok := dough.Find(slug); !ok && slug != "" {
				t.Errorf("%q is no food", slug)
			}
		}
		for _, name := range o.names {
			if first, twice := seen[fold(name)]; twice {
				t.Errorf("%q stands there already as %q", name, first)
			}
			seen[fold(name)] = name
		}
	}
}

// No name in use is that of another food in the table, unless it asks.
func TestOwnNames(t *testing.T) {
	t.Parallel()
	known := NewNames(nil)
	for _, f := range dough.Foods() {
		for _, name := range []string{f.ID, f.Name} {
			switch slugs := known.Find(name); {
			case len(slugs) == 0:
				t.Errorf("%q is not found", name)
			case len(slugs) == 1 && slugs[0] != f.ID:
				t.Errorf("%q is found as %s", name, slugs[0])
			}
		}
	}
}

// Every food of the table can be named so that nothing is asked: by its name or
// by what it is kept under.
func TestEveryFoodHasACertainName(t *testing.T) {
	t.Parallel()
	known := NewNames(nil)
	for _, f := range dough.Foods() {
		if a, b := known.Find(f.Name), known.Find(f.ID); !(len(a) == 1 && a[0] == f.ID) && !(len(b) == 1 && b[0] == f.ID) {
			t.Errorf("%s, %q: found are %v and %v", f.ID, f.Name, a, b)
		}
	}
}

// A name nobody knows brings to mind those like it, and a slip of the pen the one
// that was meant; nothing like it, nothing.
func TestNear(t *testing.T) {
	t.Parallel()
	known := NewNames(dough.Library{{ID: "mill-flour", Name: "Quay mill flour"}})
	for name, want := range map[string]string{
		"bred flour": "bread-flour", "bread flour type 550": "bread-flour", "quay mil flour": "mill-flour", "instnat yeast": "instant-yeast", "moon dust": "", "": "",
	} {
		got := ""
		if near := known.Near(name); len(near) > 0 {
			got = near[0]
		}
		if got != want {
			t.Errorf("%q brings %v to mind, want %q first", name, known.Near(name), want)
		}
	}
}
