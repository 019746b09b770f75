package dayfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Error is one thing wrong with a file.
type Error struct {
	File         string // as the caller names it
	Line, Column int    // from 1; columns count characters
	Path         string // "kitchen.ovens[0].max_celsius"; "" is the whole file
	What, Remedy string // a sentence each, for a person
}

func (e Error) Error() string {
	s := fmt.Sprintf("%s:%d:%d: ", e.File, e.Line, e.Column)
	if e.Path != "" {
		s += e.Path + ": "
	}
	return s + e.What + "; " + e.Remedy
}

// Errors is every fault of a file, by position.
type Errors []Error

func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

func (es Errors) sorted() Errors {
	slices.SortStableFunc(es, func(a, b Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return es
}
