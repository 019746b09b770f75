package recipe

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Bounds of what is read.
const (
	Largest = 1 << 20 // bytes
	deepest = 32      // lists and groups in each other
)

// The reasons for which nothing is read, each a sentence for a person.
var (
	ErrTooLarge = errors.New("this is larger than 1 MiB; give the recipe alone")
	ErrTooDeep  = errors.New("lists and groups lie more than 32 deep in each other; give the recipe alone")
	ErrNotText  = errors.New("this is not text in UTF-8; save it as UTF-8")
	ErrWebPage  = errors.New(`this is a web page; give what stands in it between <script type="application/ld+json"> and </script>`)
	ErrNoRecipe = errors.New(`there is no recipe in it: nothing has the "@type" Recipe`)
)

// group is a JSON object.
type group = map[string]any

// parse reads JSON within the bounds.
func parse(data []byte) (any, error) {
	data = bytes.TrimSpace(bytes.TrimPrefix(data, []byte("\ufeff")))
	switch {
	case len(data) > Largest:
		return nil, ErrTooLarge
	case !utf8.Valid(data):
		return nil, ErrNotText
	case bytes.HasPrefix(data, []byte("<")):
		return nil, ErrWebPage
	}
	if err := shallow(data); err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, fmt.Errorf("this is not JSON-LD: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("something follows after the end; give one recipe")
	}
	return v, nil
}

// shallow fails with ErrTooDeep; what is no JSON is not its concern.
func shallow(data []byte) error {
	depth, quoted := 0, false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > deepest {
				return ErrTooDeep
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return nil
}

// find gives the first recipe: v itself, one in a list, or one that what it
// stands in is about.
func find(v any) (group, bool) {
	switch v := v.(type) {
	case []any:
		for _, e := range v {
			if r, ok := find(e); ok {
				return r, true
			}
		}
	case group:
		if isRecipe(v["@type"]) {
			return v, true
		}
		for _, key := range []string{"@graph", "mainEntity", "mainEntityOfPage", "about", "itemListElement", "item"} {
			if r, ok := find(v[key]); ok {
				return r, true
			}
		}
	}
	return nil, false
}

// isRecipe looks at a type or a list of types, with or without its vocabulary.
func isRecipe(v any) bool {
	for _, t := range list(v) {
		s, _ := t.(string)
		if i := strings.LastIndexAny(s, "/:#"); s[i+1:] == "Recipe" {
			return true
		}
	}
	return false
}

// list is v as a list: JSON-LD writes one thing alone, several in a list.
func list(v any) []any {
	switch v := v.(type) {
	case nil:
		return nil
	case []any:
		return v
	}
	return []any{v}
}

// text is v as text: a string, a number, or what a value object holds.
func text(v any) (string, bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case json.Number:
		return v.String(), true
	case group:
		if s, ok := v["@value"].(string); ok {
			return s, true
		}
	}
	return "", false
}
