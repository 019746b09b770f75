package dayfile

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// mostFaults are told of one file: more nobody reads, and a hostile file would
// have its lines counted for ever.
const mostFaults = 100

// full says that enough is told.
func (r *reader) full() bool { return len(r.errs) >= mostFaults }

func (r *reader) fault(at int, path, what, remedy string) {
	if r.full() {
		return
	}
	before := r.data[:min(at, len(r.data))]
	line := bytes.LastIndexByte(before, '\n') + 1
	r.errs = append(r.errs, Error{
		File:   r.file,
		Line:   bytes.Count(before, []byte("\n")) + 1,
		Column: utf8.RuneCount(before[line:]) + 1,
		Path:   path, What: what, Remedy: remedy,
	})
}

// find is where the value of a path begins; of a path that is not all there,
// the innermost group that is.
func (r *reader) find(path string) int {
	n := &r.root
	for _, step := range strings.FieldsFunc(path, func(c rune) bool { return c == '.' || c == '[' || c == ']' }) {
		if i, err := strconv.Atoi(step); err == nil && n.kind == array {
			if i < 0 || i >= len(n.items) {
				break
			}
			n = &n.items[i]
			continue
		}
		next, ok := n.field(step)
		if !ok {
			break
		}
		n = next
	}
	return n.at
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func index(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }

// quote marks what stands in the file, shortened where it is long.
func quote(s string) string { return strconv.Quote(short(s)) }

func short(s string) string {
	if utf8.RuneCountInString(s) > 40 {
		s = string([]rune(s)[:40]) + "…"
	}
	return s
}
