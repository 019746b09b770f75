package bundle

import (
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"errors"
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

// Digest is what a bundle holds: each thing by what it is recognised by and the
// hash of its content. It takes little memory, so days can be added to it one by
// one, without the bundle.
type Digest struct {
	nouns [9][]entry // in the order of Preview
	alike map[string]int
}

// days is their place among the nouns.
const days = 3

// entry is one thing with what it is recognised by and its content.
type entry struct {
	Item
	id      string
	content [sha256.Size]byte
}

// Compare tells what taking in would change here. Base doughs and breads are the
// same by ID, as standing orders, foods and readings are, settings by key, days by date, name and zone: IDs of days and calls
// mean nothing elsewhere. A day is replaced as a whole, with its plans, calls and
// taps.
func Compare(here, in *Digest) Preview {
	c := make([]Change, len(here.nouns))
	for i := range c {
		c[i] = change(here.nouns[i], in.nouns[i])
	}
	return Preview{c[0], c[1], c[2], c[3], c[4], c[5], c[6], c[7], c[8]}
}

// Digest gives what the bundle holds. It fails where something cannot be written,
// as a number that is none.
func (b *Bundle) Digest() (*Digest, error) {
	d := newDigest()
	for _, v := range b.Days {
		if err := d.AddDay(v); err != nil {
			return nil, err
		}
	}
	return d, d.addRest(b)
}

func newDigest() *Digest { return &Digest{alike: map[string]int{}} }

// addRest adds everything but the days.
func (d *Digest) addRest(b *Bundle) error {
	var errs []error
	add := func(noun int, id string, item Item, v any) { errs = append(errs, d.add(noun, id, item, v)) }
	if b.Kitchen != nil {
		add(0, "", Item{}, b.Kitchen)
	}
	for _, v := range b.Bases {
		add(1, v.ID, Item{v.ID, v.Name}, v)
	}
	names := map[string]string{}
	for _, v := range b.Breads {
		names[v.ID] = v.Name
		add(2, v.ID, Item{v.ID, v.Name}, v)
	}
	for _, v := range b.Settings {
		add(4, v.Key, Item{Key: v.Key}, v)
	}
	for _, v := range b.Learned {
		v.Observation.Day = 0
		add(5, v.Slip, Item{v.At.Format(time.DateOnly), v.Name}, lessonOf(v))
	}
	for _, v := range b.Standing {
		add(6, v.ID, Item{v.ID, strings.TrimSpace(names[v.Bread] + " " + v.Days.String())}, v)
	}
	for _, v := range b.Foods {
		add(7, v.ID, Item{v.ID, v.Name}, v)
	}
	for _, v := range b.Readings {
		v.At = v.At.UTC()
		add(8, v.ID, Item{v.At.Format(time.DateOnly), cmp.Or(v.Place, "Bench") + " " + v.Celsius.String()}, v)
	}
	return errors.Join(errs...)
}

// AddDay adds a day, after those the bundle has before it.
func (d *Digest) AddDay(v Day) error {
	return d.add(days, dayKey(v, d.alike), Item{v.Date, v.Name}, dayOf(v.local()))
}

func (d *Digest) add(noun int, id string, item Item, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("bundle: %s %s: %w", item.Key, item.Name, err)
	}
	d.nouns[noun] = append(d.nouns[noun], entry{item, id, sha256.Sum256(body)})
	return nil
}

// DayKeys gives what each day is recognised by elsewhere: date, zone and name,
// and its place among those alike.
func (b *Bundle) DayKeys() []string {
	alike := map[string]int{}
	return each(b.Days, func(d Day) string { return dayKey(d, alike) })
}

// dayKey counts a day among those alike.
func dayKey(d Day, alike map[string]int) string {
	id := strings.Join([]string{d.Date, d.Zone, d.Name}, "\x00")
	alike[id]++
	return fmt.Sprintf("%s\x00%d", id, alike[id])
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
	mine := map[string][sha256.Size]byte{}
	for _, e := range here {
		mine[e.id] = e.content
	}
	theirs := map[string]bool{}
	for _, e := range in {
		theirs[e.id] = true
		switch content, there := mine[e.id]; {
		case !there:
			c.Added = append(c.Added, e.Item)
		case content == e.content:
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
