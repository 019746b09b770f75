package bundle

import (
	"encoding/json"
	"fmt"
	"io"
)

// Encode writes a bundle. It fails where a number is none (NaN) or writing does.
func Encode(w io.Writer, b *Bundle) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(fileOf(b)); err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	return nil
}
