package schedule

import "strings"

const (
	slugLetters = "abcdefghijklmnopqrstuvwxyz0123456789"
	longestSlug = 64
)

// IsSlug says whether id is small letters, digits and single hyphens within, so
// that it can stand in an address.
func IsSlug(id string) bool {
	for part := range strings.SplitSeq(id, "-") {
		if part == "" || strings.Trim(part, slugLetters) != "" {
			return false
		}
	}
	return len(id) <= longestSlug
}

// Slug makes a short name of a name, at most 48 letters, "" of one that has no
// letter for it.
func Slug(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return !strings.ContainsRune(slugLetters, c) })
	s := strings.Join(words, "-")
	return strings.TrimRight(s[:min(len(s), 48)], "-")
}
