package main

import (
	"context"
	"fmt"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/web/view"
)

// plan prints the timetable of a day.
func (p *program) plan(ctx context.Context, args []string) error {
	fs := flags("plan")
	asJSON := fs.Bool("json", false, "print the plan file")
	why := fs.Bool("why", false, "say of every time why it is then")
	ways := fs.Bool("ways", false, "compare plans that differ in kind, with the chance of each")
	now := fs.String("now", "", "plan as if it were this local `time`, such as 2026-11-28T04:00")
	files, err := p.parse(fs, args, "DAY.json")
	if err != nil {
		return err
	}
	day, err := decode(p, files[0], dayfile.DecodeDay)
	if err != nil {
		return err
	}
	if *now != "" {
		day.Now = schedule.Wall(*now)
		if err := day.Validate().Err(); err != nil {
			return usage("ovenward plan: with -now %s:\n%w", *now, err)
		}
	}
	plan, err := schedule.PlanDay(ctx, day, day.Settings)
	if err != nil {
		return err
	}
	if *asJSON {
		data, err := dayfile.EncodePlan(&plan)
		if err != nil {
			return err
		}
		if _, err := p.out.Write(data); err != nil {
			return err
		}
	} else if err := timetable(p.out, day, &plan, *why); err != nil {
		return err
	}
	if *ways && !*asJSON {
		if err := p.ways(ctx, day); err != nil {
			return err
		}
	}
	if !plan.Outcome.Kept {
		return errJudged
	}
	return nil
}

// ways prints the plans that differ in kind, a paragraph each.
func (p *program) ways(ctx context.Context, day *schedule.Day) error {
	all, err := schedule.Alternatives(ctx, day, day.Settings)
	if err != nil {
		return err
	}
	var words view.Words
	for _, a := range all {
		o := a.Plan.Outcome
		_, err := fmt.Fprintf(p.out, "\n%s. %s %s\n%s\n%s\n", words.Way(a.Kind), words.Outcome(o), words.Chills(a.Chills), words.Spent(o), words.Chance(a.Chance))
		if err != nil {
			return err
		}
	}
	return nil
}
