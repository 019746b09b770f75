package main

import (
	"context"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// plan prints the timetable of a day.
func (p *program) plan(ctx context.Context, args []string) error {
	fs := flags("plan")
	asJSON := fs.Bool("json", false, "print the plan file")
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
	} else if err := timetable(p.out, day, &plan); err != nil {
		return err
	}
	if !plan.Outcome.Kept {
		return errJudged
	}
	return nil
}
