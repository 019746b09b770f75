package view

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Form is what stands in the fields of a form, as typed, and what is wrong with
// it. Fields are named by their path in the day file, "method[2].minutes".
type Form struct {
	Values  url.Values
	Faults  []FieldFault
	New     bool   // nothing is saved under this name yet
	Touched string // path of the row a button has just added, moved or changed
}

// FieldFault is one thing wrong with a field, in a sentence that also says how to
// mend it.
type FieldFault struct {
	Field string
	What  string
	Href  string // page the field is on, "" for this one
	// Answers are buttons beside the field that fill it in.
	Answers []Option
}

// link is where the summary of faults leads.
func (f FieldFault) link() string { return f.Href + "#" + f.Field }

func (f *Form) get(name string) string { return f.Values.Get(name) }

// faults of one field.
func (f *Form) faults(name string) []FieldFault {
	var out []FieldFault
	for _, x := range f.Faults {
		if x.Field == name && x.Href == "" {
			out = append(out, x)
		}
	}
	return out
}

func (f *Form) ticked(name, value string) bool { return slices.Contains(f.Values[name], value) }

func (f *Form) rows(list string) int { return Count(f.Values, list) }

// has reports whether anything beneath a path is filled in.
func (f *Form) has(path string) bool { return Has(f.Values, path) }

// Has reports whether anything beneath a path is filled in.
func Has(v url.Values, path string) bool {
	for k, vs := range v {
		if strings.HasPrefix(k, path+".") && strings.Join(vs, "") != "" {
			return true
		}
	}
	return false
}

// maxRows bounds the rows of a list; a form with more is not one of ours.
const maxRows = 200

// Count is how many rows a list has: up to the highest index, however many are
// missing on the way.
func Count(v url.Values, list string) int {
	n := 0
	for k := range v {
		if i, _, ok := Index(k, list); ok {
			n = max(n, i+1)
		}
	}
	return n
}

// Index reads "list[3].rest".
func Index(key, list string) (i int, rest string, ok bool) {
	s, ok := strings.CutPrefix(key, list+"[")
	if !ok {
		return 0, "", false
	}
	num, rest, ok := strings.Cut(s, "]")
	i, err := strconv.Atoi(num)
	return i, rest, ok && err == nil && i >= 0 && i < maxRows
}

// Change carries out a button of a row: "add list", "put list 2" behind a row, "del
// list 2", "up list 2", "down list 2", "dup list 2". It reports whether there was such a button.
func (f *Form) Change(do string, fresh func(list string) url.Values) bool {
	word := strings.Fields(do)
	if len(word) < 2 {
		return false
	}
	list, at := word[1], -1
	if len(word) > 2 {
		at, _ = strconv.Atoi(word[2])
	}
	n := f.rows(list)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	switch {
	case word[0] == "add" && n < maxRows:
		for k, v := range fresh(list) {
			f.Values[fmt.Sprintf("%s[%d].%s", list, n, k)] = v
		}
		f.Touched = fmt.Sprintf("%s[%d]", list, n)
		return true
	case word[0] == "put" && at >= 0 && at < n && n < maxRows:
		for k, v := range fresh(list) {
			f.Values[fmt.Sprintf("%s[%d].%s", list, n, k)] = v
		}
		order = slices.Insert(order, at+1, n)
		f.Touched = fmt.Sprintf("%s[%d]", list, at+1)
	case word[0] == "dup" && at >= 0 && at < n && n < maxRows:
		f.duplicate(list, at, n)
		order = slices.Insert(order, at+1, n)
		f.Touched = fmt.Sprintf("%s[%d]", list, at+1)
	case word[0] == "del" && at >= 0 && at < n:
		order = slices.Delete(order, at, at+1)
		f.Touched = list
	case word[0] == "up" && at > 0 && at < n:
		order[at], order[at-1] = order[at-1], order[at]
		f.Touched = fmt.Sprintf("%s[%d]", list, at-1)
	case word[0] == "down" && at >= 0 && at < n-1:
		order[at], order[at+1] = order[at+1], order[at]
		f.Touched = fmt.Sprintf("%s[%d]", list, at+1)
	case word[0] == "drop":
		f.drop(list)
		f.Touched = list
		return true
	default:
		return true
	}
	f.reorder(list, order)
	return true
}

// duplicate copies a row to another place.
func (f *Form) duplicate(list string, from, to int) {
	next := url.Values{}
	for k, v := range f.Values {
		if i, rest, ok := Index(k, list); ok && i == from {
			next[fmt.Sprintf("%s[%d]%s", list, to, rest)] = slices.Clone(v)
		}
	}
	maps.Copy(f.Values, next)
}

// drop takes away everything beneath a path.
func (f *Form) drop(path string) {
	for k := range f.Values {
		if strings.HasPrefix(k, path+".") {
			delete(f.Values, k)
		}
	}
}

// reorder renumbers the rows of a list; what is not in order is dropped.
func (f *Form) reorder(list string, order []int) {
	next := url.Values{}
	for k, v := range f.Values {
		i, rest, ok := Index(k, list)
		if !ok {
			next[k] = v
			continue
		}
		if to := slices.Index(order, i); to >= 0 {
			next[fmt.Sprintf("%s[%d]%s", list, to, rest)] = v
		}
	}
	f.Values = next
}

// Option is one choice of a select.
type Option struct{ Value, Word string }

// with adds the current value where it is none of the options, so that nothing
// chosen is lost.
func with(opts []Option, value string) []Option {
	if value == "" || slices.ContainsFunc(opts, func(o Option) bool { return o.Value == value }) {
		return opts
	}
	return append(slices.Clip(opts), Option{value, value})
}
