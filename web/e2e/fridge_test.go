package e2e_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// task is one of the plan at hand, by its kind and name.
func (k *bakery) task(kind schedule.StageKind, name string) schedule.Task {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	i := slices.IndexFunc(saved.Plan.Tasks, func(t schedule.Task) bool { return t.Kind == kind && t.Name == name && t.Part == "" })
	if i < 0 {
		k.Fatalf("no %s of %s", kind, name)
	}
	return saved.Plan.Tasks[i]
}

// follow says of everything begun by a moment, heating of ovens included, that it
// was done or started as planned, and turns the clock there.
func (k *bakery) follow(to time.Time) {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	var taps []record.Tap
	for _, t := range saved.Plan.Tasks {
		tap := record.Tap{ID: "followed " + t.ID, Day: 1, Version: saved.Version, Task: t.ID, Kind: record.Finished, At: t.End}
		if t.End.After(to) {
			tap.ID, tap.Kind, tap.At = "begun "+t.ID, record.Started, t.Start
		}
		if t.Start.Before(to) && (len(t.Hands) > 0 || t.Kind == schedule.Preheat) {
			taps = append(taps, tap)
		}
	}
	slices.SortStableFunc(taps, func(a, b record.Tap) int { return a.At.Compare(b.At) })
	for _, tap := range taps {
		k.until(slices.MaxFunc([]time.Time{tap.At, k.clock()}, time.Time.Compare))
		tap.At, tap.Recorded = k.clock(), k.clock()
		if _, err := k.store.Tap(k.Context(), tap); err != nil {
			k.Fatal(err)
		}
	}
	k.until(slices.MaxFunc([]time.Time{to, k.clock()}, time.Time.Compare))
}

// last is the work of hands that ends last.
func (k *bakery) last() schedule.Task {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	works := slices.DeleteFunc(slices.Clone(saved.Plan.Tasks), func(t schedule.Task) bool { return len(t.Hands) == 0 })
	return slices.MaxFunc(works, func(a, b schedule.Task) int { return a.End.Compare(b.End) })
}

// free reports whether nothing lies over any button of the page, scrolled to just
// so that it shows, and the bar of calls takes no more than a third of the screen.
func (b *tab) free() bool {
	b.Helper()
	return evaluate[bool](b, `[...document.querySelectorAll("main button")].every(e => {
		e.scrollIntoView({block: "nearest"});
		const r = e.getBoundingClientRect();
		return e.contains(document.elementFromPoint((r.left + r.right) / 2, (r.top + r.bottom) / 2));
	}) && (document.querySelector("#calls .calls")?.offsetHeight ?? 0) <= innerHeight * .35`)
}

// A day with a dough in the fridge: started; a loaf is called for and needs forty
// minutes more; of the choices, old and new side by side, the fridge for the
// dough that would meet a full oven is taken; that dough is called in and out of
// the cold; the day is done.
func TestFridgeDay(t *testing.T) {
	for _, l := range []look{phone, night, plain} {
		t.Run(l.name, func(t *testing.T) {
			k := runBakery(t)
			b := open(t, k.base, l)
			load := k.task(schedule.Bake, "Milk pan loaf")
			k.follow(load.Start)
			b.visit("/days/1/now")
			if !l.noScript {
				b.arm()
				b.until(`document.querySelector("#calls-now")?.innerText.includes("load Milk pan loaf") === true`)
			}
			b.picture("called")
			b.tap(fmt.Sprintf(`article.card[data-t=%q] a.act[href*="/slip"]`, load.ID), `location.pathname === "/days/1/slip"`)
			b.submit(`button[value="not-yet 40"]`)
			if at := b.where(); at != "/days/1/choices" {
				t.Fatalf("then it is at %s:\n%s", at, b.text("main"))
			}
			b.picture("choices")
			if b.count("path.old") == 0 || b.count(".chip") == 0 {
				t.Error("old and new are not compared")
			}
			chill := b.text(`article[data-choice="chill"]`)
			if !strings.Contains(chill, "Fridge for a while") || !strings.Contains(chill, "comes out at") {
				t.Fatalf("the fridge is not offered:\n%s", b.text("main"))
			}
			b.submit(`article[data-choice="chill"] button[name=pick]`)
			if said := b.text(".said"); !strings.Contains(said, "Accepted: fridge for a while") {
				t.Errorf("it says %q", said)
			}
			saved, err := k.store.Plan(t.Context(), 1)
			if err != nil || saved.Version != 2 {
				t.Fatalf("version %d, %v", saved.Version, err)
			}
			i := slices.IndexFunc(saved.Plan.Tasks, func(t schedule.Task) bool { return t.Rescue != nil })
			rise := saved.Plan.Tasks[i]
			b.visit("/days/1")
			row := b.text(fmt.Sprintf("tr[data-t=%q]", rise.ID))
			if out := rise.Rescue.To.Format("15:04"); !strings.Contains(row, "Fridge") || !strings.Contains(row, out) {
				t.Errorf("the day does not show it in the fridge until %s: %s", out, row)
			}
			b.picture("day")

			for _, way := range []struct {
				at   time.Time
				kind record.TapKind
				says string
				call string
			}{
				{rise.Rescue.From, record.PutCold, "Into the cold", "put Slipway hearth loaf into the cold"},
				{rise.Rescue.To, record.TakenOut, "Out of the cold", "take Slipway hearth loaf out of the cold"},
			} {
				k.follow(way.at)
				b.visit("/days/1/now")
				card := fmt.Sprintf(`article.card[data-t=%q] form:has([name=kind][value=%q])`, rise.ID, way.kind)
				if got := b.text("main"); !strings.Contains(got, way.says) {
					t.Errorf("nobody is told %q:\n%s", way.says, got)
				}
				if !l.noScript {
					b.until(fmt.Sprintf(`document.querySelector("#calls-now")?.innerText.includes(%q) === true`, way.call))
					b.tap("#calls summary", `document.querySelector("#calls details[open]") !== null`)
				}
				b.picture(string(way.kind))
				if !b.free() {
					t.Errorf("at %q something lies over a button", way.says)
				}
				b.tap(card+" button", fmt.Sprintf("document.querySelector('main') !== null && document.querySelector(%q) === null", card))
			}
			run, err := k.store.Running(t.Context(), 1)
			if err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.Task == rise.ID }) {
				t.Errorf("carrying is taken for more: %+v", run.Log)
			}

			last := k.last()
			k.follow(last.End.Add(-time.Minute))
			k.until(last.End)
			b.visit("/days/1/now")
			done := fmt.Sprintf(`article.card[data-t=%q] button.main`, last.ID)
			b.tap(done, `document.querySelector("main")?.innerText.includes("Everything is out and done") === true`)
		})
	}
}
