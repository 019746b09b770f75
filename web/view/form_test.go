package view_test

import (
	"maps"
	"net/url"
	"testing"

	"ovenward/web/view"
)

// Whatever a browser sends, changing rows never fails and never loses a row that
// was not meant: FuzzChange sends anything.
func FuzzChange(f *testing.F) {
	f.Add("up a 1", "a[0].x=1&a[1].x=2&b=3")
	f.Add("del a 0", "a[0].x=1&a[1].y[2].z=2")
	f.Add("add a[0].b", "a[199].x=1")
	f.Add("down a 0", "a[99999999999].x=1&a[-1].x=1&a[0=1")
	f.Fuzz(func(t *testing.T, do, query string) {
		v, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		form := view.Form{Values: maps.Clone(v)}
		form.Change(do, func(string) url.Values { return url.Values{"new": {"1"}} })
		for k := range v {
			if _, _, inRow := view.Index(k, "a"); !inRow && do == "up a 1" && form.Values.Get(k) != v.Get(k) {
				t.Errorf("%q changed %q", do, k)
			}
		}
	})
}
