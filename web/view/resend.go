package view

import (
	"maps"
	"net/url"
	"slices"
)

// Resend is a form that was sent and could not be kept.
type Resend struct {
	To     string // where it was sent
	Values url.Values
}

// Field is one field of a form.
type Field struct{ Name, Value string }

// Fields are the form's fields by name, those of one name in the order they were
// sent.
func (r Resend) Fields() (all []Field) {
	for _, name := range slices.Sorted(maps.Keys(r.Values)) {
		for _, v := range r.Values[name] {
			all = append(all, Field{name, v})
		}
	}
	return all
}
