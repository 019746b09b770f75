package storetest

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/bundle"
	"ovenward/testdata"
)

// What three years leave behind. Every task was tapped twice.
const (
	yearsDays = 1000
	variants  = 40 // of each of the example's five breads
	repairs   = 2  // of the plan of every third day
)

// Years makes dir/ovenward.db the database of a bakery after three years: 200
// breads, 2,000 orders on 1,000 days with their plans, calls and taps. All is
// multiplied from the example day; the last day is that whole, planned at the
// last 16:00 UTC before now and not begun. It takes some two seconds of processor.
func Years(tb testing.TB, dir string, now time.Time) {
	tb.Helper()
	ctx := context.WithoutCancel(tb.Context()) // spares the driver a goroutine for every statement
	b, err := years(ctx, now.UTC())
	if err != nil {
		tb.Fatal(err)
	}
	s, err := store.Open(ctx, filepath.Join(dir, "ovenward.db"), time.Now)
	if err != nil {
		tb.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	}()
	all, err := b.Arrive()
	if err != nil {
		tb.Fatal(err)
	}
	if _, err := s.Import(ctx, all, false, now); err != nil {
		tb.Fatal(err)
	}
}

func years(ctx context.Context, now time.Time) (*bundle.Bundle, error) {
	var example schedule.Day
	if err := json.Unmarshal(testdata.Example, &example); err != nil {
		return nil, err
	}
	example.Zone, example.Example = "UTC", false // where days can be moved as they are
	b := &bundle.Bundle{Made: now, Kitchen: &bundle.Kitchen{Kitchen: example.Kitchen}}
	for _, base := range example.Bases {
		b.Bases = append(b.Bases, bundle.Base{Base: base})
	}
	for _, bread := range example.Breads {
		for v := range variants {
			one, err := vary(&bread, []schedule.Bread{bread}, v)
			if err != nil {
				return nil, err
			}
			b.Breads = append(b.Breads, bundle.Bread{Bread: *one})
		}
	}
	whole, err := plan(ctx, example, example.Orders)
	if err != nil {
		return nil, err
	}
	var pairs []*planned
	for i, o := range example.Orders {
		p, err := plan(ctx, example, []schedule.Order{o, example.Orders[(i+1)%len(example.Orders)]})
		if err != nil {
			return nil, err
		}
		pairs = append(pairs, p)
	}
	last := int(now.Sub(whole.Plan.Made).Hours()) / 24
	if now.Before(whole.Plan.Made) {
		last--
	}
	for n := range yearsDays {
		from, ago := pairs[n%len(pairs)], yearsDays-1-n
		if ago == 0 {
			from = whole
		}
		p, err := vary(from, example.Breads, n/len(pairs)%variants)
		if err != nil {
			return nil, err
		}
		move(reflect.ValueOf(p), last-ago)
		b.Days = append(b.Days, p.day(int64(n+1), ago > 0))
		if ago > 0 {
			b.Learned = append(b.Learned, p.lesson(int64(n+1)))
		}
	}
	return b, nil
}

// planned is a day with its plan.
type planned struct {
	Day    schedule.Day
	Plan   schedule.Plan
	Alerts []schedule.Alert
}

// plan plans some orders of a day.
func plan(ctx context.Context, d schedule.Day, orders []schedule.Order) (*planned, error) {
	d.Orders = orders
	d.Breads = slices.DeleteFunc(slices.Clone(d.Breads), func(b schedule.Bread) bool {
		return !slices.ContainsFunc(orders, func(o schedule.Order) bool { return o.Bread == b.ID })
	})
	p, err := schedule.PlanDay(ctx, &d, d.Settings)
	return &planned{d, p, schedule.Alerts(&p)}, err
}

// vary gives a copy that speaks of the breads' nth variants.
func vary[T any](of *T, breads []schedule.Bread, n int) (*T, error) {
	body, err := json.Marshal(of)
	if err != nil {
		return nil, err
	}
	var pairs []string
	for _, b := range breads {
		pairs = append(pairs, quote(b.ID), quote(fmt.Sprintf("%s-%02d", b.ID, n)), quote(b.Name), quote(fmt.Sprintf("%s %02d", b.Name, n)))
	}
	v := new(T)
	return v, json.Unmarshal([]byte(strings.NewReplacer(pairs...).Replace(string(body))), v)
}

func quote(s string) string { return `"` + s + `"` }

// move moves every time within v, a pointer, by whole days.
func move(v reflect.Value, days int) {
	switch t := v.Interface().(type) {
	case time.Time:
		if !t.IsZero() {
			v.Set(reflect.ValueOf(t.UTC().AddDate(0, 0, days)))
		}
		return
	case schedule.Wall:
		if at, err := t.In(time.UTC); err == nil {
			v.Set(reflect.ValueOf(schedule.WallOf(at.AddDate(0, 0, days))))
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			move(v.Elem(), days)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			move(v.Field(i), days)
		}
	case reflect.Slice:
		for i := range v.Len() {
			move(v.Index(i), days)
		}
	}
}
