// Package sheet writes a plan as a table for a spreadsheet.
package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
)

// CSV is a plan to be written as comma-separated values (RFC 4180), one task a
// line, in UTF-8. Times are those of the plan's zone.
type CSV struct {
	Plan *schedule.Plan
	// Words says what is done in a task.
	Words func(*schedule.Task) string
	// Decks says how a bake lies on the decks of its oven; "" where they are not
	// told apart.
	Decks func(*schedule.Task) string
	// BOM begins the file with a byte order mark, without which some
	// spreadsheets take UTF-8 for another encoding.
	BOM bool
}

// Columns heads the table. Names of columns are not translated: they are what
// other programs look for.
func Columns() []string {
	return []string{"start", "end", "minutes", "who", "what", "dough", "batch", "portion", "pieces", "grams",
		"mixer", "oven", "place", "celsius", "ready", "too_far", "promise", "late_minutes", "decks"}
}

// Write writes the table. The plan's zone must be known.
func Write(w io.Writer, c CSV) error {
	loc, err := time.LoadLocation(c.Plan.Zone)
	if err != nil {
		return fmt.Errorf("sheet: %w", err)
	}
	rows := [][]string{Columns()}
	for i := range c.Plan.Tasks {
		rows = append(rows, c.row(&c.Plan.Tasks[i], loc))
	}
	return write(w, rows, c.BOM)
}

// WriteRows writes a table of its own columns, named in its first row, as
// comma-separated values like a plan's. Cells are text, numbers (float64), times,
// which are those of loc, or nil for nothing.
func WriteRows(w io.Writer, rows [][]any, loc *time.Location, bom bool) error {
	out := make([][]string, len(rows))
	for i, row := range rows {
		for _, v := range row {
			var s string
			switch v := v.(type) {
			case nil:
			case string:
				s = cell(v)
			case float64:
				s = strconv.FormatFloat(v, 'f', -1, 64)
			case time.Time:
				s = when(&v, loc)
			default:
				return fmt.Errorf("sheet: a cell cannot hold a %T", v)
			}
			out[i] = append(out[i], s)
		}
	}
	return write(w, out, bom)
}

func write(w io.Writer, rows [][]string, bom bool) error {
	if bom {
		if _, err := io.WriteString(w, "\ufeff"); err != nil {
			return err
		}
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(rows)
}

func (c CSV) row(t *schedule.Task, loc *time.Location) []string {
	ready, tooFar := "", when(t.TooFar, loc)
	if t.Window != nil {
		ready, tooFar = when(&t.Window.Ready, loc), when(&t.Window.TooFar, loc)
	}
	return []string{
		when(&t.Start, loc), when(&t.End, loc), number(t.End.Sub(t.Start).Minutes()),
		cell(who(t)), cell(c.Words(t)), cell(t.Name), cell(t.Batch), cell(t.Portion),
		number(float64(t.Pieces)), number(float64(t.Mass)),
		cell(t.Mixer), cell(t.Oven), cell(t.Place), number(float64(t.Celsius)),
		ready, tooFar, when(t.Promise, loc), number(float64(t.Late)), cell(c.Decks(t)),
	}
}

// who names everybody with a hand in a task, each once.
func who(t *schedule.Task) string {
	var names []string
	for _, h := range t.Hands {
		if len(names) == 0 || names[len(names)-1] != h.Baker {
			names = append(names, h.Baker)
		}
	}
	return strings.Join(names, ", ")
}

// when is a local time as spreadsheets know it, nothing for none.
func when(t *time.Time, loc *time.Location) string {
	if t == nil || t.IsZero() {
		return ""
	}
	return t.In(loc).Format("2006-01-02 15:04")
}

// number is v without an exponent, nothing for 0.
func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// cell is text that no spreadsheet takes for a formula: what begins like one
// gets an apostrophe in front (common practice against formula injection: OWASP,
// "CSV Injection", from memory).
func cell(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(s, "\uFFFD"))
	if strings.HasPrefix(s, "\ufeff") || formula(strings.TrimLeft(s, " \u00a0")) {
		return "'" + s
	}
	return s
}

func formula(s string) bool {
	return strings.IndexAny(s, "=+-@\t\n\x00＝＋－＠−") == 0
}
