package web

import (
	"bytes"
	"net/http"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"ovenward/store/record"
	"ovenward/web/view"
)

// onlyToDo are pages that hold nothing to look at, only something to do.
var onlyToDo = []string{"/breads/new", "/breads/import", "/bases/new", atGuide, atFirstBread, "/foods/new", "/days/*/slip", "/days/*/copy", "/standing/new", atInout, atInout + "/*", programsPath}

// helperMay reports whether a request only looks, or does what a helper may: say
// "on it", register the own screen, and leave. value gives what a form sends.
func helperMay(method, at string, value func(name string) string) bool {
	if method == http.MethodGet || method == http.MethodHead {
		return !slices.ContainsFunc(onlyToDo, func(pattern string) bool { return matches(pattern, at) })
	}
	if matches("/days/*/tap", at) {
		return value("kind") == string(record.Ack)
	}
	return at == logoutPath || at == "/screens"
}

func matches(pattern, at string) bool {
	ok, _ := path.Match(pattern, at)
	return ok
}

// forHelper takes off a page, or a piece of one, what a helper may not do, by the
// rule the guard itself judges by: no button of any page leads to a refusal.
// What stands in fields can still be read.
func forHelper(page []byte) ([]byte, error) {
	doc, err := html.ParseWithOptions(bytes.NewReader(page), html.ParseOptionEnableScripting(false)) // noscript, too
	if err != nil {
		return nil, err
	}
	if fields := takeOff(doc); fields {
		for _, h := range every(doc, "h1") {
			h.Parent.InsertBefore(paragraph(view.OnlyLooks), h.NextSibling)
		}
	}
	var b bytes.Buffer
	if bytes.HasPrefix(page, []byte("<!")) {
		err := html.Render(&b, doc)
		return b.Bytes(), err
	}
	for n := range every(doc, "body")[0].ChildNodes() {
		if err := html.Render(&b, n); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}

// takeOff reports whether fields were made to be read only.
func takeOff(doc *html.Node) (fields bool) {
	for _, a := range every(doc, "a") {
		if at, _, _ := strings.Cut(attribute(a, "href"), "?"); !helperMay(http.MethodGet, at, nil) {
			unlink(a)
		}
	}
	for _, f := range every(doc, "form") {
		value := func(name string) string { return hidden(f, name) }
		if strings.EqualFold(attribute(f, "method"), http.MethodPost) && !helperMay(http.MethodPost, attribute(f, "action"), value) {
			fields = readOnly(f) || fields
		}
	}
	return fields
}

// readOnly makes a form what only shows its fields, or takes it off if it has
// none. It reports whether it has.
func readOnly(f *html.Node) (fields bool) {
	for _, n := range every(f, "") {
		switch {
		case n.Data == "button", n.Data == "input" && (attribute(n, "type") == "hidden" || attribute(n, "type") == "file"):
			remove(n)
		case n.Data == "input", n.Data == "select", n.Data == "textarea":
			n.Attr = append(n.Attr, html.Attribute{Key: "disabled"})
			fields = true
		}
	}
	if !fields && len(every(f, "a")) == 0 {
		remove(f)
		return false
	}
	f.Data, f.DataAtom = "div", 0
	f.Attr = slices.DeleteFunc(f.Attr, func(a html.Attribute) bool { return a.Key != "id" && a.Key != "class" })
	return fields
}

// unlink takes a link off; one that is part of a sentence stays as its words.
func unlink(a *html.Node) {
	for n := range a.Parent.ChildNodes() {
		if n.Type == html.TextNode && strings.TrimSpace(n.Data) != "" {
			a.Data, a.DataAtom, a.Attr = "span", 0, nil
			return
		}
	}
	remove(a)
}

// remove takes an element out, and what then holds nothing any more.
func remove(n *html.Node) {
	from := n.Parent
	if from == nil {
		return
	}
	from.RemoveChild(n)
	for c := range from.ChildNodes() {
		if c.Type == html.ElementNode && c.Data != "summary" || c.Type == html.TextNode && strings.TrimSpace(c.Data) != "" {
			return
		}
	}
	if from.Type == html.ElementNode && from.Data != "main" && from.Data != "body" {
		remove(from)
	}
}

// every lists the elements beneath a node, in a list that may be changed by.
func every(in *html.Node, tag string) (all []*html.Node) {
	for n := range in.Descendants() {
		if n.Type == html.ElementNode && (tag == "" || n.Data == tag) {
			all = append(all, n)
		}
	}
	return all
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// hidden is what a form sends without being asked.
func hidden(f *html.Node, name string) string {
	for _, n := range every(f, "input") {
		if attribute(n, "type") == "hidden" && attribute(n, "name") == name {
			return attribute(n, "value")
		}
	}
	return ""
}

func paragraph(text string) *html.Node {
	p := &html.Node{Type: html.ElementNode, Data: "p"}
	p.AppendChild(&html.Node{Type: html.TextNode, Data: text})
	return p
}
