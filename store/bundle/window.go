package bundle

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"
)

// Why a file is not read on, beside what its source says.
var (
	errLarge = errors.New("larger than 128 MiB")
	errText  = errors.New("not UTF-8")
)

// chunk is how much is read at a time, and about how much is kept.
const chunk = 64 << 10

// window is a file on its way to a decoder. It keeps what has been read from some
// place before the decoder's on, so that it can say of every byte since in which
// line and column it stands.
type window struct {
	src  io.Reader
	buf  []byte // of the file, from start on
	err  error  // why there is no more than buf
	sent int    // how much of buf the decoder has
	good int    // how much of buf is known to be text

	start int64 // of buf in the file, without a byte order mark
	begin place // of buf's first character
}

// place is a line and a column, both from 1; a column is a character.
type place struct{ line, column int }

// places are those of paths, none where one has not been found yet.
type places map[string]place

func (p places) want(path string) bool {
	_, ok := p[path]
	return ok
}

func newWindow(src io.Reader) *window {
	w := &window{src: src, begin: place{1, 1}}
	for len(w.buf) < len(mark) && w.err == nil {
		w.fill()
	}
	if bytes.HasPrefix(w.buf, []byte(mark)) {
		w.buf, w.good = w.buf[len(mark):], w.good-len(mark)
	}
	return w
}

// mark is the byte order mark some editors put before a text.
const mark = "\ufeff"

// fill reads on. Where a byte is no text, or too many came, the file ends; then
// good is all of buf.
func (w *window) fill() {
	w.buf = append(w.buf, make([]byte, chunk)...)
	n, err := w.src.Read(w.buf[len(w.buf)-chunk:])
	w.buf, w.err = w.buf[:len(w.buf)-chunk+n], err
	if utf8.Valid(w.buf[w.good:]) {
		w.good = len(w.buf)
	}
	for w.good < len(w.buf) {
		c, size := utf8.DecodeRune(w.buf[w.good:])
		if c == utf8.RuneError && size == 1 {
			if w.err == nil && !utf8.FullRune(w.buf[w.good:]) {
				break // the rest of it is yet to come
			}
			w.buf, w.err = w.buf[:w.good], errText
			break
		}
		w.good += size
	}
	if w.end() > Largest {
		w.err = errLarge
	}
}

// end is how much of the file has been read.
func (w *window) end() int64 { return w.start + int64(len(w.buf)) }

// Read gives the decoder what comes next, whole characters only: the beginning of
// one may turn out to be no text.
func (w *window) Read(p []byte) (int, error) {
	for w.sent == w.good {
		if w.err != nil {
			return 0, w.err
		}
		w.fill()
	}
	n := copy(p, w.buf[w.sent:w.good])
	w.sent += n
	return n, nil
}

// next is the first byte from at on that is not between tokens; 0 at the end.
func (w *window) next(at int64) (int64, byte) {
	for i := int(at - w.start); ; i++ {
		for i >= w.good {
			if w.err != nil {
				return w.end(), 0
			}
			w.fill()
		}
		switch c := w.buf[i]; c {
		case ' ', '\t', '\r', '\n', ',', ':':
		default:
			return w.start + int64(i), c
		}
	}
}

// forget drops what is before a place the decoder is past, when it is much.
func (w *window) forget(before int64) {
	n := int(before - w.start)
	if n < chunk || n > w.sent {
		return
	}
	w.begin = w.place(before)
	w.buf = w.buf[:copy(w.buf, w.buf[n:])]
	w.sent, w.good, w.start = w.sent-n, w.good-n, before
}

// place is where a byte stands; one that is forgotten stands at the beginning of
// what is not.
func (w *window) place(at int64) place {
	seen := w.buf[:min(max(at-w.start, 0), int64(len(w.buf)))]
	if begin := bytes.LastIndexByte(seen, '\n') + 1; begin > 0 {
		return place{w.begin.line + bytes.Count(seen, []byte("\n")), utf8.RuneCount(seen[begin:]) + 1}
	}
	return place{w.begin.line, w.begin.column + utf8.RuneCount(seen)}
}
