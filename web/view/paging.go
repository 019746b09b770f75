package view

import (
	"fmt"
	"net/url"

	"ovenward/store/record"
)

// Paging is which part of a long list a page shows.
type Paging struct {
	record.Find
	At    string // the page's address
	Label string // of the field that looks for a name
	All   int    // how many there are
}

// mostChoices is how many breads a list to choose from may have.
const mostChoices = 60

// line says which part this is.
func (g Paging) line() string {
	switch {
	case g.All == 0:
		return fmt.Sprintf("Nothing here is called “%s”.", g.Text)
	case g.Skip >= g.All:
		return fmt.Sprintf("There are only %d.", g.All)
	}
	s := fmt.Sprintf("%d to %d of %d", g.Skip+1, min(g.Skip+g.Most, g.All), g.All)
	if g.Text != "" {
		s += fmt.Sprintf(" with “%s”", g.Text)
	}
	return s
}

// to is the address of the part after the first skip.
func (g Paging) to(skip int) string {
	q := url.Values{}
	if g.Text != "" {
		q.Set("q", g.Text)
	}
	if skip > 0 {
		q.Set("from", itoa(skip))
	}
	if len(q) == 0 {
		return g.At
	}
	return g.At + "?" + q.Encode()
}

// BreadOf gives the ID of a bread by ID or name; what is neither stays.
func BreadOf(breads []record.Name, typed string) string {
	for _, b := range breads {
		if b.ID == typed {
			return typed
		}
	}
	for _, b := range breads {
		if b.Name == typed {
			return b.ID
		}
	}
	return typed
}

// typedAs is what is typed for a bread: its name, or its ID where another has the
// same name.
func typedAs(breads []record.Name, id string) string {
	for _, b := range breads {
		if b.ID == id && BreadOf(breads, b.Name) == id {
			return b.Name
		}
	}
	return id
}

// named is a form whose field shows the name of the bread it holds.
func (f *Form) named(field string, breads []record.Name) *Form {
	return &Form{Values: url.Values{field: {typedAs(breads, f.get(field))}}, Faults: f.Faults}
}
