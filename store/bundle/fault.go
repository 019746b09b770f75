package bundle

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"ovenward/schedule/dayfile"
)

func (r *reader) refuse(at int, what, remedy string) error {
	return dayfile.Errors{r.fault(at, r.where(), what, remedy)}
}

// fault is a fault with its line and column.
func (r *reader) fault(at int, path, what, remedy string) dayfile.Error {
	before := r.data[:min(at, len(r.data))]
	line := bytes.LastIndexByte(before, '\n') + 1
	return dayfile.Error{
		File: r.name, Line: bytes.Count(before, []byte("\n")) + 1, Column: utf8.RuneCount(before[line:]) + 1,
		Path: path, What: what, Remedy: remedy,
	}
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
