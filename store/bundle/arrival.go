package bundle

import (
	"bytes"
	"io"
	"iter"
)

// A Source opens a file from its beginning, as often as it is to be read; it must
// be the same every time.
type Source func() (io.ReadCloser, error)

// Bytes is a file in memory.
func Bytes(data []byte) Source {
	return func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }
}

// Arrival is a bundle that may be larger than memory should hold: it has been read
// through once, and its days can be had once more, one by one.
type Arrival struct {
	*Bundle         // without Days
	Digest  *Digest // of the whole
	days    iter.Seq2[Day, error]
}

// Read reads a bundle through without keeping its days. Name and errors are those
// of [Decode], or that of the source.
func Read(name string, open Source) (*Arrival, error) {
	d := newDigest()
	b, err := scan(name, open, d.AddDay)
	if err != nil {
		return nil, err
	}
	b.Days = nil
	if err := d.addRest(b); err != nil {
		return nil, err
	}
	return &Arrival{b, d, func(yield func(Day, error) bool) {
		_, err := scan(name, open, func(day Day) error {
			if !yield(day, nil) {
				return io.EOF
			}
			return nil
		})
		if err != nil && err != io.EOF {
			yield(Day{}, err)
		}
	}}, nil
}

// Arrive lets a bundle in memory be taken in like one that is not.
func (b *Bundle) Arrive() (*Arrival, error) {
	d, err := b.Digest()
	if err != nil {
		return nil, err
	}
	frame := *b
	frame.Days = nil
	return &Arrival{&frame, d, b.days}, nil
}

// AllDays gives the days in the order of the bundle. An error ends them.
func (a *Arrival) AllDays() iter.Seq2[Day, error] { return a.days }

// DayKeys gives what each day is recognised by elsewhere, as [Bundle.DayKeys].
func (a *Arrival) DayKeys() []string {
	return each(a.Digest.nouns[days], func(e entry) string { return e.id })
}
