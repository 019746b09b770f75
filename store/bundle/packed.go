package bundle

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
)

// Packed is a bundle's file pressed to some twentieth (gzip, RFC 1952), to be kept
// in memory where it cannot be read from its place again.
type Packed []byte

// Pack presses what is written.
func Pack(write func(io.Writer) error) (Packed, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	err := errors.Join(write(z), z.Close())
	return b.Bytes(), err
}

// Open is the [Source] of what was pressed.
func (p Packed) Open() (io.ReadCloser, error) { return gzip.NewReader(bytes.NewReader(p)) }
