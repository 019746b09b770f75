package bundle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
)

// Encode writes a bundle. It fails where a number is none (NaN) or writing does.
func Encode(w io.Writer, b *Bundle) error {
	return EncodeDays(w, b, b.days)
}

// days gives the days one by one.
func (b *Bundle) days(yield func(Day, error) bool) {
	for _, d := range b.Days {
		if !yield(d, nil) {
			return
		}
	}
}

// EncodeDays writes a bundle with other days than its own: they come one by one,
// as there may be more than memory should hold at a time. An error among them
// ends the file in the middle.
func EncodeDays(w io.Writer, b *Bundle, days iter.Seq2[Day, error]) error {
	f := fileOf(b)
	f.Days = nil
	var frame bytes.Buffer
	if err := encode(&frame, "", f); err != nil {
		return err
	}
	// within a text a line never ends
	before, after, _ := bytes.Cut(frame.Bytes(), []byte("\n \"days\": null,"))
	if _, err := fmt.Fprintf(w, "%s\n \"days\": ", before); err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	if err := encodeList(w, days); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(w, ",%s", after); err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	return nil
}

// encodeList writes days as a list, none as null.
func encodeList(w io.Writer, days iter.Seq2[Day, error]) error {
	var one bytes.Buffer
	opening, closing := "[\n  ", "null"
	for d, err := range days {
		if err != nil {
			return err
		}
		one.Reset()
		one.WriteString(opening)
		if err := encode(&one, "  ", dayOf(d)); err != nil {
			return err
		}
		if _, err := w.Write(bytes.TrimRight(one.Bytes(), "\n")); err != nil {
			return fmt.Errorf("bundle: %w", err)
		}
		opening, closing = ",\n  ", "\n ]"
	}
	if _, err := io.WriteString(w, closing); err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	return nil
}

// encode writes a value whose lines but the first begin with a prefix.
func encode(w io.Writer, prefix string, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent(prefix, " ")
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	return nil
}
