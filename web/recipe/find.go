package recipe

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
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
	ErrWebPage  = errors.New("this is a web page without JSON-LD; what it shows to people cannot be read")
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
		return parsePage(data)
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

var island = regexp.MustCompile(`(?is)<script\b[^>]*\bapplication/ld\+json\b[^>]*>(.*?)</script\s*>`)

// parsePage reads all JSON-LD that stands in a web page; what is none among it is
// passed over where there is other.
func parsePage(data []byte) (any, error) {
	var all []any
	err := ErrWebPage
	for _, m := range island.FindAllSubmatch(data, mostRecipes) {
		if v, fault := parse(m[1]); fault == nil {
			all = append(all, v)
		} else {
			err = fault
		}
	}
	if len(all) == 0 {
		return nil, err
	}
	return all, nil
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

// mostRecipes is how many recipes of a document are offered.
const mostRecipes = 100

// find gives the recipes: v itself, those in a list, or those that what they stand in
// is about.
func find(v any) (all []group) {
	switch v := v.(type) {
	case []any:
		for _, e := range v {
			all = append(all, find(e)...)
		}
	case group:
		if isRecipe(v["@type"]) {
			return []group{v}
		}
		for _, key := range []string{"@graph", "mainEntity", "mainEntityOfPage", "about", "itemListElement", "item"} {
			all = append(all, find(v[key])...)
		}
	}
	return all[:min(len(all), mostRecipes)]
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
