package bundle

import (
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

// Decode reads a bundle. Name is the file's name in errors, which are
// [dayfile.Errors]: the first fault of its form, else every reference that leads
// nowhere. Whether its kitchen and breads make sense is for [Bundle.Faults].
func Decode(name string, data []byte) (*Bundle, error) {
	r := newReader(name, data)
	var f file
	if err := r.read(&f); err != nil {
		return nil, err
	}
	b := f.bundle()
	faults := b.loose()
	if len(faults) == 0 {
		return b, nil
	}
	return nil, positioned(name, data, faults)
}

// mostFaults is how many faults are worth reading.
const mostFaults = 50

// positioned finds faults in the file, which is known to be well formed.
func positioned(name string, data []byte, faults schedule.Faults) dayfile.Errors {
	paths := map[string]int{}
	for _, f := range faults[:min(len(faults), mostFaults)] {
		paths[f.Where] = 0
	}
	r := newReader(name, data)
	r.sought = paths
	_ = r.read(new(file)) // has been read before
	var errs dayfile.Errors
	for _, f := range faults[:min(len(faults), mostFaults)] {
		errs = append(errs, r.fault(paths[f.Where], f.Where, f.What, f.Remedy))
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
