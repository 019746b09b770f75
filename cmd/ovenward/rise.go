package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"ovenward/schedule/dayfile"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// rise follows one dough through its history.
func (p *program) rise(_ context.Context, args []string) error {
	fs := flags("rise")
	asJSON := fs.Bool("json", false, "print everything as JSON")
	asCSV := fs.Bool("csv", false, "print a point every five minutes as CSV")
	files, err := p.parse(fs, args, "FILE.json")
	if err != nil {
		return err
	}
	if *asJSON && *asCSV {
		return usage("ovenward rise: choose one of -json and -csv")
	}
	h, err := decode(p, files[0], dayfile.DecodeHistory)
	if err != nil {
		return err
	}
	report, err := simulate.Follow(h)
	if err != nil {
		return usage("%s: %w", files[0], err)
	}
	switch {
	case *asJSON:
		e := json.NewEncoder(p.out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(report)
	case *asCSV:
		return points(p.out, report.Trace)
	}
	return steps(p.out, report)
}

// steps prints a line for each step and what the baker should know of it.
func steps(w io.Writer, r simulate.Report) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "from\tfor\tdough\tvolume\tready\tbest\ttoo far\t")
	for _, s := range r.Steps {
		fmt.Fprintf(t, "%s\t%s\t%s\t%.2f\t%s\t%s\t%s\t%s\n",
			unit.Minutes(s.From), unit.Minutes(s.Minutes), unit.Celsius(s.Celsius), s.Expansion,
			after(s.Ready), between(s.Best, s.Low, s.High), after(s.TooFar), s.Name)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	cautions := r.Cautions
	for _, s := range r.Steps {
		cautions = append(cautions, s.Cautions...)
	}
	return caution(w, cautions)
}

func caution(w io.Writer, cs []rise.Caution) error {
	for _, c := range cs {
		if _, err := fmt.Fprintln(w, c.Message); err != nil {
			return err
		}
	}
	return nil
}

// after is minutes from the beginning of a step, or a dash for never.
func after(m *float64) string {
	if m == nil {
		return "–"
	}
	return unit.Minutes(*m).String()
}

// between is a forecast with its spread: eight doughs in ten lie inside.
func between(best, low, high *float64) string {
	if best == nil || low == nil || high == nil {
		return after(best)
	}
	return fmt.Sprintf("%s (%s–%s)", after(best), after(low), after(high))
}

func points(w io.Writer, trace []simulate.Point) error {
	c := csv.NewWriter(w)
	_ = c.Write([]string{"minute", "mean_celsius", "core_celsius", "air_celsius", "expansion", "dose", "gas_ml_per_g_flour"}) // kept by c, given by Error
	for _, p := range trace {
		_ = c.Write([]string{
			decimals(p.Minute, 1), decimals(p.Mean, 2), decimals(p.Core, 2), decimals(p.Air, 2),
			decimals(p.Expansion, 3), decimals(p.Dose, 3), decimals(p.Gas, 3),
		})
	}
	c.Flush()
	return c.Error()
}

func decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }
