package schedule_test

import (
	"testing"

	"ovenward/schedule"
)

func TestSlug(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"Pan loaf": "pan-loaf", "  Rye – 100 %": "rye-100", "Brötchen": "br-tchen", "": "", "---": "", "A": "a", "Мука": "",
		"a very long name of a bread that goes on and on and on": "a-very-long-name-of-a-bread-that-goes-on-and-on",
	} {
		got := schedule.Slug(name)
		if got != want || schedule.IsSlug(got) != (want != "") {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
