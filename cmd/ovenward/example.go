package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/testdata"
)

// firstStart puts the example day into an empty database and plans it. A damaged
// one is not empty; it is served as far as it can be read.
func (p *program) firstStart(ctx context.Context, st *store.Store) error {
	days, err := st.Days(ctx)
	greeted, errSetting := st.Setting(ctx, settingGreeted)
	err = cmp.Or(err, errSetting)
	if errors.Is(err, record.ErrDamaged) {
		return nil
	}
	if err != nil || len(days) > 0 || greeted != "" {
		return err
	}
	day, err := dayfile.DecodeDay("example", testdata.Example)
	if err != nil {
		return fmt.Errorf("example day: %w", err)
	}
	if zone := p.zone(); zone != "" {
		day.Zone = zone
	}
	if err := moveToMorning(day, p.now()); err != nil {
		return fmt.Errorf("example day: %w", err)
	}
	day.Now = "" // the clock's
	id, err := st.ImportDay(ctx, *day)
	if err != nil {
		return err
	}
	if err := planStored(ctx, st, id, p.now()); err != nil {
		return fmt.Errorf("example day: %w", err)
	}
	return st.SetSetting(ctx, settingGreeted, "yes")
}

// settingGreeted keeps a cleared example from coming back.
const settingGreeted = "example-shown"

func planStored(ctx context.Context, st *store.Store, id int64, now time.Time) error {
	day, err := st.Day(ctx, id, now)
	if err != nil {
		return err
	}
	plan, err := schedule.PlanDay(ctx, &day, day.Settings)
	if err != nil {
		return err
	}
	_, err = st.SavePlan(ctx, id, day, plan, schedule.Alerts(&plan), now)
	return err
}

// lastHour is when it is too late to begin an overnight preferment for the next
// morning: the baker of the example leaves at seven in the evening.
const lastHour = 18

// moveToMorning moves a day by whole days, so that its first promise falls on
// the next morning that can still be kept.
func moveToMorning(d *schedule.Day, now time.Time) error {
	loc, err := d.Location()
	if err != nil {
		return err
	}
	first := ""
	for _, o := range d.Orders {
		if date := string(o.Promise())[:len(time.DateOnly)]; first == "" || date < first {
			first = date
		}
	}
	from, err := time.Parse(time.DateOnly, first)
	if err != nil {
		return err
	}
	local := now.In(loc)
	y, m, day := local.Date()
	if local.Hour() >= lastHour {
		day++
	}
	days := int(time.Date(y, m, day+1, 0, 0, 0, 0, time.UTC).Sub(from).Hours() / 24)
	for i := range d.Orders {
		o := &d.Orders[i]
		o.Out, o.Ready = o.Out.AddDays(days), o.Ready.AddDays(days)
	}
	for i := range d.Kitchen.Bakers {
		for j := range d.Kitchen.Bakers[i].Away {
			a := &d.Kitchen.Bakers[i].Away[j]
			a.From, a.To = a.From.AddDays(days), a.To.AddDays(days)
		}
	}
	return nil
}

// zone is the machine's own by its IANA name, "" where it cannot be told.
func (p *program) zone() string {
	name := strings.TrimPrefix(p.getenv("TZ"), ":")
	if name == "" {
		path, err := os.Readlink("/etc/localtime")
		if err != nil {
			return ""
		}
		_, name, _ = strings.Cut(path, "zoneinfo/")
	}
	if _, err := time.LoadLocation(name); err != nil || name == "" || name == "Local" {
		return ""
	}
	return name
}
