package bundle

import (
	"fmt"
	"strconv"
	"strings"

	"ovenward/schedule/dayfile"
)

func (r *reader) refuse(at int64, what, remedy string) error {
	return dayfile.Errors{r.in.place(at).fault(r.name, r.where(), what, remedy)}
}

func (p place) fault(file, path, what, remedy string) dayfile.Error {
	return dayfile.Error{File: file, Line: p.line, Column: p.column, Path: path, What: what, Remedy: remedy}
}

// where is the path of the value being read.
func (r *reader) where() string {
	var b strings.Builder
	for _, s := range r.path {
		switch {
		case s.name == "":
			fmt.Fprintf(&b, "[%d]", s.i)
		case b.Len() > 0:
			b.WriteByte('.')
			fallthrough
		default:
			b.WriteString(s.name)
		}
	}
	return b.String()
}

// quote marks what stands in the file, shortened where it is long.
func quote(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return strconv.Quote(s)
}
