package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"ovenward/schedule"
	"ovenward/web/view"
)

// timetable prints a plan as a table, in the words of the screens, with why with
// the reason of every time.
func timetable(w io.Writer, day *schedule.Day, plan *schedule.Plan, why bool) error {
	var words view.Words
	fmt.Fprintf(w, "%s (%s)\n%s %s\n", plan.Day, plan.Zone, words.Outcome(plan.Outcome), words.Spent(plan.Outcome))
	for _, line := range troubles(plan, words) {
		fmt.Fprintln(w, line)
	}
	var table bytes.Buffer
	t := tabwriter.NewWriter(&table, 0, 0, 2, ' ', 0)
	for _, r := range view.Rows(&view.Picture{Day: day, Plan: plan, Now: plan.Made}) {
		if r.Break != "" {
			fmt.Fprintf(t, "\n%s\n", r.Break)
		}
		cells := []string{r.At, r.Till, r.Hands, r.What, r.Of, r.Much, r.Where, windowOf(r)}
		if r.State.Class == "late" {
			cells = append(cells, r.State.Word)
		}
		if why {
			cells = append(cells, r.Why)
		}
		fmt.Fprintln(t, strings.Join(cells, "\t"))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(table.String()) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
}

// troubles is what is broken or late, why, what would help, and what is worth
// knowing.
func troubles(p *schedule.Plan, words view.Words) []string {
	var lines []string
	for _, v := range p.Outcome.Broken {
		lines = append(lines, words.Broken(v, p.Made))
	}
	if p.Outcome.Binding != nil {
		lines = append(lines, words.Binding(p.Outcome.Binding))
	}
	for _, o := range p.Outcome.WaysOut {
		lines = append(lines, words.WayOut(o))
	}
	for _, n := range p.Outcome.Notes {
		lines = append(lines, words.Note(n, p.Made))
	}
	return lines
}

func windowOf(r view.Row) string {
	switch {
	case r.Ready != "":
		return "ready " + r.Ready + ", too far " + r.TooFar
	case r.TooFar != "":
		return "before " + r.TooFar
	}
	return ""
}

// violation is one line about what does not hold, for people and for grep: the
// task, the rule, and the sentence.
func violation(v schedule.Violation, now time.Time) string {
	task := v.Task
	if task == "" {
		task = "-"
	}
	return fmt.Sprintf("%s\t%s\t%s", task, v.Code, view.Words{}.Broken(v, now))
}
