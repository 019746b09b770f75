package ical_test

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// prop is a property of a component, its value still escaped.
type prop struct{ name, params, value string }

// component is what stands between BEGIN and END.
type component struct {
	kind  string
	props []prop
	inner []*component
}

// value gives a property's value, "" for none.
func (c *component) value(name string) string {
	for _, p := range c.props {
		if p.name == name {
			return p.value
		}
	}
	return ""
}

func (c *component) count(name string) (n int) {
	for _, p := range c.props {
		if p.name == name {
			n++
		}
	}
	return n
}

func (c *component) all(kind string) (out []*component) {
	for _, in := range c.inner {
		if in.kind == kind {
			out = append(out, in)
		}
	}
	return out
}

// parse reads a calendar as RFC 5545 says in 3.1 and 3.4, and fails the test
// where a byte is not as it must be: only CRLF ends a line, no line is longer
// than 75 octets, every line is whole UTF-8, and what is opened is closed.
func parse(t testing.TB, file string) *component {
	t.Helper()
	if !strings.HasSuffix(file, "\r\n") {
		t.Fatal("the last line is not ended")
	}
	physical := strings.Split(strings.TrimSuffix(file, "\r\n"), "\r\n")
	for _, l := range physical {
		switch {
		case strings.ContainsAny(l, "\r\n"):
			t.Fatalf("a line break that is not CRLF in %q", l)
		case len(l) > 75:
			t.Fatalf("%d octets in %q", len(l), l)
		case !utf8.ValidString(l):
			t.Fatalf("a character is broken in %q", l)
		case l == "" || l == " ":
			t.Fatal("an empty line")
		case strings.ContainsFunc(l, func(c rune) bool { return c < ' ' && c != '\t' || c == 0x7f }):
			t.Fatalf("a control character in %q", l)
		}
	}
	root := &component{}
	open := []*component{root}
	for _, l := range strings.Split(strings.ReplaceAll(strings.TrimSuffix(file, "\r\n"), "\r\n ", ""), "\r\n") {
		name, value, ok := strings.Cut(l, ":")
		if !ok {
			t.Fatalf("no property in %q", l)
		}
		name, params, _ := strings.Cut(name, ";")
		last := open[len(open)-1]
		switch name {
		case "BEGIN":
			c := &component{kind: value}
			last.inner = append(last.inner, c)
			open = append(open, c)
		case "END":
			if last.kind != value {
				t.Fatalf("END:%s closes %s", value, last.kind)
			}
			open = open[:len(open)-1]
		default:
			last.props = append(last.props, prop{name, params, value})
		}
	}
	if len(open) != 1 || len(root.inner) != 1 || root.inner[0].kind != "VCALENDAR" {
		t.Fatal("not one VCALENDAR")
	}
	return root.inner[0]
}

// unescape reads a TEXT value (3.3.11); it fails the test at a character that
// should have been escaped.
func unescape(t testing.TB, s string) string {
	t.Helper()
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch c := s[i]; c {
		case '\\':
			i++
			if i == len(s) || !strings.ContainsRune(`\;,nN`, rune(s[i])) {
				t.Fatalf("a stray backslash in %q", s)
			}
			b.WriteString(strings.NewReplacer("n", "\n", "N", "\n").Replace(s[i : i+1]))
		case ';', ',':
			t.Fatalf("%q is not escaped in %q", c, s)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}
