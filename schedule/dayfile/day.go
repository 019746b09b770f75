package dayfile

import (
	"bytes"
	"encoding/json"
	"fmt"

	"ovenward/schedule"
)

// DecodeDay reads a day file and validates the day. File is its name in errors,
// which are [Errors].
func DecodeDay(file string, data []byte) (*schedule.Day, error) {
	r := reader{file: file, data: data}
	d := new(schedule.Day)
	if err := r.decode(schedule.DayFormat, d); err != nil {
		return nil, err
	}
	for _, f := range d.Validate() {
		r.fault(r.find(f.Where), f.Where, f.What, f.Remedy)
	}
	if len(r.errs) > 0 {
		return nil, r.errs.sorted()
	}
	return d, nil
}

// EncodeDay writes a day file.
func EncodeDay(d *schedule.Day) ([]byte, error) {
	c := *d
	c.Format = schedule.DayFormat
	return encode(c)
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("dayfile: %w", err)
	}
	return b.Bytes(), nil
}
