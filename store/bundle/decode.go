package bundle

import (
	"fmt"
	"reflect"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// Largest is the most bytes a bundle may have. Three years of work, or a hundred
// days planned five times each, are less than half of it.
const Largest = 128 << 20

// TooLarge is what to do with more: nobody can make an export smaller.
const TooLarge = "move the whole database instead: ovenward backup FILE here, ovenward restore FILE there"

// Decode reads a bundle that memory can hold. Name is the file's name in errors,
// which are [dayfile.Errors]: the first fault of its form, else every reference
// that leads nowhere. Whether its kitchen and breads make sense is for
// [Bundle.Faults].
func Decode(name string, data []byte) (*Bundle, error) {
	var days []Day
	b, err := scan(name, Bytes(data), func(d Day) error {
		days = append(days, d)
		return nil
	})
	if err != nil {
		return nil, err
	}
	b.Days = days
	return b, nil
}

// scan reads a bundle through, gives its days one by one and then all the rest.
// It ends with an error of each, or as Decode does.
func scan(name string, open Source, each func(Day) error) (*Bundle, error) {
	var f file
	z, v := zones{}, newInspection()
	err := reading(name, open, func(r *reader) error {
		r.begin = func() {
			f.Days = []day{}
			v.library(&f)
		}
		r.each = func(i int, d *day) error {
			full := d.record(z)
			v.day(fmt.Sprintf("days[%d]", i), &full)
			return each(full)
		}
		return r.read(&f)
	})
	if err != nil {
		return nil, err
	}
	if f.Days == nil {
		v.library(&f)
	}
	b := f.bundle()
	if v.rest(b); len(v.faults) == 0 {
		return b, nil
	}
	return nil, positioned(name, open, v.faults)
}

// reading opens a file for a reader.
func reading(name string, open Source, f func(*reader) error) error {
	in, err := open()
	if err != nil {
		return fmt.Errorf("bundle: %w", err)
	}
	defer in.Close()
	return f(newReader(name, in))
}

// positioned finds faults in the file, which is known to be well formed.
func positioned(name string, open Source, faults schedule.Faults) error {
	sought := places{}
	for _, f := range faults {
		sought[f.Where] = place{1, 1}
	}
	err := reading(name, open, func(r *reader) error {
		r.sought = sought
		r.begin, r.each = func() {}, func(int, *day) error { return nil }
		return r.read(new(file))
	})
	if err != nil {
		return err
	}
	var errs dayfile.Errors
	for _, f := range faults {
		errs = append(errs, sought[f.Where].fault(name, f.Where, f.What, f.Remedy))
	}
	return errs
}

// rightFormat looks at the format before anything else, which in another version
// would mislead.
func rightFormat(v reflect.Value) (what, remedy string) {
	switch format := v.String(); {
	case format == Format:
		return "", ""
	case strings.HasPrefix(format, Format[:strings.IndexByte(Format, '/')+1]):
		return quote(format) + " is another version than " + Format, "use the program's version that wrote the file"
	default:
		return "this is no " + Format + " file", "give one that was written by an export of everything"
	}
}
