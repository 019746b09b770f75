package bundle

import "time"

// zones are time zones by name, each looked up once.
type zones map[string]*time.Location

// in finds a zone; false, and UTC, where there is none of that name.
func (z zones) in(name string) (*time.Location, bool) {
	loc, seen := z[name]
	if !seen {
		if name != "" && name != "Local" {
			loc, _ = time.LoadLocation(name)
		}
		z[name] = loc
	}
	if loc == nil {
		return time.UTC, false
	}
	return loc, true
}
