package recipe

import (
	"html"
	"regexp"
	"strings"
)

// Names and steps come with entities and markup of the page they stood on. A person
// reads plain text; as given it stays in the document.

var (
	broken = regexp.MustCompile(`(?i)<\s*(?:br|/p|/li|/div|/h\d)\b[^<>]*>`) // ends a line
	markup = regexp.MustCompile(`(?i)</?(?:a|b|i|u|p|em|strong|span|div|ul|ol|li|br|sup|sub|h\d|img)\b[^<>]*>`)
	number = regexp.MustCompile(`(?i)^(?:step\s+)?\d{1,2}\s*[.):]\s+`)
)

// plainLines is text as a person reads it, line by line; lists are numbered where they are
// shown. Entities that stand for markup stay text.
func plainLines(s string) (out []string) {
	s = html.UnescapeString(markup.ReplaceAllString(broken.ReplaceAllString(s, "\n"), ""))
	for l := range strings.Lines(s) {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			out = append(out, l)
		}
	}
	if len(out) > 1 {
		for i, l := range out {
			if rest := number.ReplaceAllString(l, ""); rest != "" {
				out[i] = rest
			}
		}
	}
	return out
}

// plain is text in one line.
func plain(s string) string { return strings.Join(plainLines(s), " ") }
