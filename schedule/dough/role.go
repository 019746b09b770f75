package dough

import "fmt"

// Role is what an ingredient does in a dough. It is written as a word.
type Role int

// The roles. Inclusion is what stays apart from the dough: dried fruit, nuts,
// seeds, fillings; its water and sugar are not the dough's.
const (
	Other Role = iota
	Flour
	Water
	Salt
	Sugar
	Fat
	Yeast
	Egg
	Dairy
	Inclusion
)

func roleWords() []string {
	return []string{"other", "flour", "water", "salt", "sugar", "fat", "yeast", "egg", "dairy", "inclusion"}
}

// String is the role as a word.
func (r Role) String() string {
	if w := roleWords(); r >= 0 && int(r) < len(w) {
		return w[r]
	}
	return fmt.Sprintf("role(%d)", int(r))
}

// MarshalText writes the word of a known role.
func (r Role) MarshalText() ([]byte, error) {
	if r < 0 || int(r) >= len(roleWords()) {
		return nil, fmt.Errorf("no role %d", int(r))
	}
	return []byte(r.String()), nil
}

// UnmarshalText reads a word written by MarshalText.
func (r *Role) UnmarshalText(text []byte) error {
	for i, w := range roleWords() {
		if w == string(text) {
			*r = Role(i)
			return nil
		}
	}
	return fmt.Errorf("no role %q", text)
}
