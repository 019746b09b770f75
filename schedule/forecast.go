package schedule

import (
	"context"
	"fmt"
	"time"

	"ovenward/schedule/unit"
)

// forecastIn is how far ahead the tray of a forecast is promised: room for a
// soak, a preferment and a cold night.
const forecastIn = 50 * time.Hour

// forecastSteps is what is searched for a forecast, the least there is: one tray
// with hands always free leaves little to choose.
const forecastSteps = 1

// Forecast plans one tray of a bread in d's kitchen with hands always free, so
// that its times come from the dough alone; with cold, its last rise that may be
// held in the cold is. It returns the day that was planned and its plan. Of d
// only zone, now, kitchen, doughs and what was learnt count.
func Forecast(ctx context.Context, d *Day, bread string, cold bool) (*Day, Plan, error) {
	b, ok := d.Bread(bread)
	if !ok {
		return nil, Plan{}, fmt.Errorf("no bread %q", bread)
	}
	loc, err := d.Location()
	if err != nil {
		return nil, Plan{}, err
	}
	now, err := d.Now.In(loc)
	if err != nil {
		return nil, Plan{}, err
	}
	day := *d
	day.Name = b.Name
	day.Settings = Settings{Reserve: -1, Steps: forecastSteps}
	day.Kitchen.Bakers = []Baker{{Name: "Hands", Hours: []Hours{{To: minutesPerDay}}}}
	day.Breads = []Bread{*b}
	day.Bases = nil
	if base, ok := d.Base(b.Base); ok && b.Base != "" {
		day.Bases = []Base{*base}
	}
	day.Learned = nil
	for _, l := range d.Learned {
		if l.Dough == b.ID || l.Dough == b.Base {
			day.Learned = append(day.Learned, l)
		}
	}
	due := now.Add(forecastIn).Truncate(time.Hour)
	day.Orders = []Order{{Bread: b.ID, Pieces: max(1, b.PerTray), Out: WallOf(due)}}
	if cold {
		day.hold()
	}
	p, err := planned(ctx, &day, day.Settings, nearest)
	return &day, p, err
}

// hold makes the last rise of every method that may be held in the cold always
// so.
func (d *Day) hold() {
	always := func(c *Chill) *Chill {
		held := *c
		held.Always = true
		return &held
	}
	for i := range d.Breads {
		d.Breads[i].Method = chills(d.Breads[i].Method, always)
	}
	for i := range d.Bases {
		d.Bases[i].Method = chills(d.Bases[i].Method, always)
	}
}

// Chillable says whether a bread, or its base, may be held in the cold where it
// need not be.
func (d *Day) Chillable(bread string) bool {
	b, ok := d.Bread(bread)
	if !ok {
		return false
	}
	methods := [][]Stage{b.Method}
	if base, ok := d.Base(b.Base); ok {
		methods = append(methods, base.Method)
	}
	for _, m := range methods {
		for _, s := range m {
			if s.Chill != nil && !s.Chill.Always {
				return true
			}
		}
	}
	return false
}

// Range is the forecast of a rise in minutes from its beginning: in eight cases
// of ten its best moment lies between low and high.
func (t *Task) Range() (low, best, high unit.Minutes) {
	if t.Window == nil {
		return 0, 0, 0
	}
	after := func(at time.Time) unit.Minutes { return unit.Minutes(at.Sub(t.Start).Minutes()) }
	return after(t.Window.Early), after(t.Window.Best), after(t.Window.Tardy)
}
