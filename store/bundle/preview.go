package bundle

import (
	"cmp"
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// Preview is what taking in a bundle would change, noun by noun.
type Preview struct {
	Kitchen, Bases, Breads, Days, Settings, Learned, Standing, Foods, Readings Change
}

// Change is what would become of the things of one kind, in the order of their
// bundle. When a bundle is merged, what is only here is kept; when it replaces
// everything, that goes.
type Change struct {
	Added    []Item // only in the bundle
	Replaced []Item // here, but different
	Same     []Item // here already
	Here     []Item // only here
}

// Item is one thing by the name people know it by.
type Item struct {
	Key  string // ID, date or key
	Name string
}

// Compare tells what taking in would change here. Base doughs and breads are the
// same by ID, as standing orders, foods and readings are, settings by key, days by date, name and zone: IDs of days and calls
// mean nothing elsewhere. A day is replaced as a whole, with its plans, calls and
// taps. It fails where something cannot be written, as a number that is none.
func Compare(here, in *Bundle) (Preview, error) {
	a, err := here.index()
	if err != nil {
		return Preview{}, err
	}
	b, err := in.index()
	if err != nil {
		return Preview{}, err
	}
	return Preview{
		Kitchen: change(a[0], b[0]), Bases: change(a[1], b[1]), Breads: change(a[2], b[2]),
		Days: change(a[3], b[3]), Settings: change(a[4], b[4]), Learned: change(a[5], b[5]), Standing: change(a[6], b[6]), Foods: change(a[7], b[7]),
		Readings: change(a[8], b[8]),
	}, nil
}

// entry is one thing with what it is recognised by and its content.
type entry struct {
	Item
	id, body string
}

func (b *Bundle) index() (nouns [9][]entry, err error) {
	add := func(noun int, id string, item Item, v any) {
		body, bad := json.Marshal(v)
		if bad != nil && err == nil {
			err = fmt.Errorf("bundle: %s %s: %w", item.Key, item.Name, bad)
		}
		nouns[noun] = append(nouns[noun], entry{item, id, string(body)})
	}
	if b.Kitchen != nil {
		add(0, "", Item{}, b.Kitchen)
	}
	for _, v := range b.Bases {
		add(1, v.ID, Item{v.ID, v.Name}, v)
	}
	for _, v := range b.Breads {
		add(2, v.ID, Item{v.ID, v.Name}, v)
	}
	keys := b.DayKeys()
	for i, v := range b.Days {
		add(3, keys[i], Item{v.Date, v.Name}, dayOf(v.local()))
	}
	for _, v := range b.Settings {
		add(4, v.Key, Item{Key: v.Key}, v)
	}
	for _, v := range b.Learned {
		v.Observation.Day = 0
		add(5, v.Slip, Item{v.At.Format(time.DateOnly), v.Name}, lessonOf(v))
	}
	names := map[string]string{}
	for _, v := range b.Breads {
		names[v.ID] = v.Name
	}
	for _, v := range b.Foods {
		add(7, v.ID, Item{v.ID, v.Name}, v)
	}
	for _, v := range b.Standing {
		add(6, v.ID, Item{v.ID, strings.TrimSpace(names[v.Bread] + " " + v.Days.String())}, v)
	}
	for _, v := range b.Readings {
		v.At = v.At.UTC()
		add(8, v.ID, Item{v.At.Format(time.DateOnly), cmp.Or(v.Place, "Bench") + " " + v.Celsius.String()}, v)
	}
	return nouns, err
}

// DayKeys gives what each day is recognised by elsewhere: date, zone and name,
// and its place among those alike.
func (b *Bundle) DayKeys() []string {
	count := map[string]int{}
	return each(b.Days, func(d Day) string {
		id := strings.Join([]string{d.Date, d.Zone, d.Name}, "\x00")
		count[id]++
		return fmt.Sprintf("%s\x00%d", id, count[id])
	})
}

// local is the day without what depends on the store it is in.
func (d Day) local() Day {
	d.ID, d.Updated = 0, time.Time{}
	number := map[int64]int64{}
	d.Alerts, d.Log = each(d.Alerts, same), each(d.Log, same)
	for i := range d.Alerts {
		number[d.Alerts[i].ID] = int64(i + 1)
		d.Alerts[i].ID = int64(i + 1)
	}
	for i := range d.Log {
		d.Log[i].Alert = number[d.Log[i].Alert]
	}
	return d
}

func same[T any](v T) T { return v }

func change(here, in []entry) (c Change) {
	mine := map[string]string{}
	for _, e := range here {
		mine[e.id] = e.body
	}
	theirs := map[string]bool{}
	for _, e := range in {
		theirs[e.id] = true
		switch body, there := mine[e.id]; {
		case !there:
			c.Added = append(c.Added, e.Item)
		case body == e.body:
			c.Same = append(c.Same, e.Item)
		default:
			c.Replaced = append(c.Replaced, e.Item)
		}
	}
	for _, e := range here {
		if !theirs[e.id] {
			c.Here = append(c.Here, e.Item)
		}
	}
	return c
}
