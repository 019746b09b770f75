package dayfile

import (
	"errors"
	"strings"

	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// DecodeHistory reads the history of one dough and validates it. It has no format
// field: people write it by hand, and no other program keeps it. File is its name in
// errors, which are [Errors].
func DecodeHistory(file string, data []byte) (simulate.History, error) {
	r := reader{file: file, data: data}
	var h simulate.History
	if err := r.decode("", &h); err != nil {
		return h, err
	}
	if joined, ok := h.Validate().(interface{ Unwrap() []error }); ok {
		for _, err := range joined.Unwrap() {
			r.implausible(err)
		}
		return h, r.errs.sorted()
	}
	return h, nil
}

// implausible places a fault of a dough.
func (r *reader) implausible(err error) {
	f, ok := errors.AsType[*rise.Fault](err)
	if !ok {
		f = &rise.Fault{Message: err.Error()}
	}
	what, remedy, _ := strings.Cut(f.Message, "; ")
	r.fault(r.find(f.Field), f.Field, what, remedy)
}
