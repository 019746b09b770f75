package main

import (
	"context"
	"fmt"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// check judges a plan for a day.
func (p *program) check(_ context.Context, args []string) error {
	fs := flags("check")
	files, err := p.parse(fs, args, "DAY.json", "PLAN.json")
	if err != nil {
		return err
	}
	if files[0] == "-" && files[1] == "-" {
		return usage("ovenward check: only one of the two can be standard input")
	}
	day, err := decode(p, files[0], dayfile.DecodeDay)
	if err != nil {
		return err
	}
	plan, err := decode(p, files[1], dayfile.DecodePlan)
	if err != nil {
		return err
	}
	broken := schedule.Check(day, plan)
	for _, v := range broken {
		fmt.Fprintln(p.out, violation(v, plan.Made))
	}
	if len(broken) > 0 {
		return errJudged
	}
	fmt.Fprintf(p.out, "the plan holds: %d tasks checked\n", len(plan.Tasks))
	return nil
}
