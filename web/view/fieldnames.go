package view

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"github.com/a-h/templ"
)

// described ties a field to what is wrong with it.
func (f *Form) described(name string) templ.Attributes {
	if n := len(f.faults(name)); n > 0 {
		ids := make([]string, n)
		for i := range ids {
			ids[i] = faultID(name, i)
		}
		return templ.Attributes{"aria-invalid": "true", "aria-describedby": strings.Join(ids, " ")}
	}
	return nil
}

func faultID(name string, i int) string { return fmt.Sprintf("fault-%s-%d", name, i) }

// tickID is the id of a box: of a list of boxes with one name, the first has
// the name itself, where a fault's link leads.
func tickID(name, value string) string {
	if value == "yes" {
		return name
	}
	return name + "-" + value
}

func doRow(do, list string, i int) string { return fmt.Sprintf("%s %s %d", do, list, i) }

// row is the path of a field in a row: "orders[2].pieces".
func row(list string, i int, field string) string { return fmt.Sprintf("%s[%d].%s", list, i, field) }

// at is the path of a row.
func at(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// backTo is where on its page a row stands.
func backTo(list string, i int) templ.SafeURL {
	return templ.SafeURL("#" + url.PathEscape(at(list, max(i, 0))))
}

// Last is the last word of a path: "curve" of "places[0].curve".
func Last(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// TitleOf is the title of a bread's or base's page.
func TitleOf(f Form, what string) string {
	s := upper(what)
	if n := f.get("name"); n != "" {
		s = n
	} else if f.New {
		s = "New " + what
	}
	if len(f.Faults) > 0 {
		s = "Error: " + s
	}
	return s
}

// wordy reports whether what is said above a field would be a tower of words in
// one column.
func wordy(label, hint string) bool { return len(label) > 22 || len(hint) > 34 }

// long reports whether an option needs more room than a column has.
func long(opts []Option) bool {
	return slices.ContainsFunc(opts, func(o Option) bool { return len(o.Word) > 10 })
}
