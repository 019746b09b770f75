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
	known := newFoods(nil)
	for _, f := range dough.Foods() {
		for _, name := range []string{f.ID, f.Name} {
			switch slugs := known.find(name); {
			case len(slugs) == 0:
				t.Errorf("%q is not found", name)
			case len(slugs) == 1 && slugs[0] != f.ID:
				t.Errorf("%q is found as %s", name, slugs[0])
			}
		}
	}
}
