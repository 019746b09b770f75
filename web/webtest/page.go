package webtest

import (
	"io"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Page is a parsed page to ask questions of.
type Page struct {
	tb   testing.TB
	root *html.Node
}

// Parse reads a page.
func Parse(tb testing.TB, r io.Reader) *Page {
	tb.Helper()
	root, err := html.Parse(r)
	if err != nil {
		tb.Fatal(err)
	}
	return &Page{tb, root}
}

// All lists the elements with a tag, or every element for "".
func (p *Page) All(tag string) []*html.Node {
	var out []*html.Node
	for n := range p.root.Descendants() {
		if n.Type == html.ElementNode && (tag == "" || n.Data == tag) {
			out = append(out, n)
		}
	}
	return out
}

// ID finds an element by its id; nil if there is none.
func (p *Page) ID(id string) *html.Node {
	for _, n := range p.All("") {
		if Attr(n, "id") == id {
			return n
		}
	}
	return nil
}

// Class lists the elements of a class.
func (p *Page) Class(class string) []*html.Node {
	return slices.DeleteFunc(p.All(""), func(n *html.Node) bool {
		return !slices.Contains(strings.Fields(Attr(n, "class")), class)
	})
}

// Text is what an element says, spaces made one; of the page's body for nil.
func (p *Page) Text(n *html.Node) string {
	if n == nil {
		n = p.root
	}
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// Form gives what a browser would send of the first form with this action: every
// field as it stands, no button.
func (p *Page) Form(action string) url.Values {
	p.tb.Helper()
	for _, f := range p.All("form") {
		if Attr(f, "action") == action {
			return fields(f)
		}
	}
	p.tb.Fatalf("no form goes to %s", action)
	return nil
}

// FormOf gives what a browser would send of a form.
func (p *Page) FormOf(form *html.Node) url.Values { return fields(form) }

func fields(form *html.Node) url.Values {
	v := url.Values{}
	for n := range form.Descendants() {
		name := Attr(n, "name")
		switch {
		case n.Type != html.ElementNode || name == "":
		case n.Data == "input":
			kind := Attr(n, "type")
			if kind != "checkbox" && kind != "radio" || Has(n, "checked") {
				v.Add(name, Attr(n, "value"))
			}
		case n.Data == "textarea":
			if n.FirstChild != nil {
				v.Add(name, n.FirstChild.Data)
			} else {
				v.Add(name, "")
			}
		case n.Data == "select":
			v.Add(name, selected(n))
		}
	}
	return v
}

// selected is the value of the chosen option, else of the first.
func selected(sel *html.Node) string {
	first, found := "", false
	for o := range sel.Descendants() {
		if o.Type != html.ElementNode || o.Data != "option" {
			continue
		}
		if Has(o, "selected") {
			return Attr(o, "value")
		}
		if !found {
			first, found = Attr(o, "value"), true
		}
	}
	return first
}

// Attr is an element's attribute, "" if it has none.
func Attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// Has reports whether an element has an attribute.
func Has(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}
