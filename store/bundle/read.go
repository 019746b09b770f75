package bundle

import (
	"encoding"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// reader fills values from JSON as strictly as it can be read, in one pass and
// without a tree, as bundles are large and written by programs: the first fault
// ends it. Days are handed on one by one.
type reader struct {
	name   string
	in     *window
	dec    *json.Decoder
	path   []step
	spent  int64    // bytes of memory list elements took
	fields fieldsOf // cache
	sought places   // paths to be found: where they begin
	begin  func()   // called before days
	each   func(i int, d *day) error
}

// step is a field or, with an empty name, a place in a list.
type step struct {
	name string
	i    int
}

// fieldsOf is, by type, where the fields with a JSON name are.
type fieldsOf map[reflect.Type]map[string][]int

func newReader(name string, src io.Reader) *reader {
	r := &reader{name: name, in: newWindow(src), fields: fieldsOf{}}
	r.dec = json.NewDecoder(r.in)
	r.dec.UseNumber()
	return r
}

// read fills to, a pointer, but for its days, which go to each. The error is that
// of the source or dayfile.Errors.
func (r *reader) read(to *file) error {
	at, _ := r.next()
	if r.in.err != nil && r.in.end() == at {
		return r.stopped(0, "the file is empty", "give an export of everything")
	}
	if err := r.value(reflect.ValueOf(to).Elem()); err != nil {
		return err
	}
	if to.Format == "" {
		return r.refuse(0, "no format is given", "give an export of everything")
	}
	at, _ = r.next()
	if _, err := r.dec.Token(); err == nil || err != r.in.err {
		return r.refuse(at, "something follows after the end", "give the file as it was exported")
	}
	return r.stopped(at, "", "")
}

// stopped tells why the file ends where it does. Its proper end is a fault only
// where one is given for it.
func (r *reader) stopped(at int64, what, remedy string) error {
	switch r.in.err {
	case io.EOF, io.ErrUnexpectedEOF:
		if what == "" {
			return nil
		}
		return r.refuse(at, what, remedy)
	case errLarge:
		r.path = nil // it is nothing of what is being read
		return r.refuse(r.in.end(), "the file is larger than 128 MiB", TooLarge)
	case errText:
		r.path = nil
		return r.refuse(r.in.end(), "this is not text in UTF-8", "give the file as it was exported")
	}
	return fmt.Errorf("bundle: %w", r.in.err)
}

// next is where the next token begins, and its first byte, 0 at the end.
func (r *reader) next() (int64, byte) {
	at := r.dec.InputOffset()
	r.in.forget(at)
	return r.in.next(at)
}

// value reads one value into v.
func (r *reader) value(v reflect.Value) error {
	at, c := r.next()
	if r.sought != nil {
		if path := r.where(); r.sought.want(path) {
			r.sought[path] = r.in.place(at)
		}
	}
	if text, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		return r.worded(at, text)
	}
	switch k := v.Kind(); {
	case c == 'n' && (k == reflect.Pointer || k == reflect.Slice):
		_, err := r.token(at)
		return err
	case k == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return r.value(v.Elem())
	case k == reflect.Struct:
		return r.group(at, v)
	case v.Type() == reflect.TypeFor[[]day]():
		return r.days(at)
	case k == reflect.Slice:
		return r.list(at, v)
	}
	return r.scalar(at, v)
}

func (r *reader) token(at int64) (json.Token, error) {
	t, err := r.dec.Token()
	switch {
	case err == io.EOF || err == io.ErrUnexpectedEOF || err != nil && err == r.in.err:
		return nil, r.stopped(r.in.end(), "the file ends too soon", "give the whole file as it was exported")
	case err != nil:
		return nil, r.refuse(at, err.Error(), "give the file as it was exported")
	}
	return t, nil
}

func (r *reader) group(at int64, v reflect.Value) error {
	if err := r.opens(at, '{', "a group { }"); err != nil {
		return err
	}
	seen := map[string]bool{}
	for r.dec.More() {
		at, _ := r.next()
		t, err := r.token(at)
		if err != nil {
			return err
		}
		name, _ := t.(string) // a group's keys are text, or Token fails
		r.path = append(r.path, step{name: name})
		field, known := r.fields.of(v.Type())[name]
		switch {
		case !known:
			return r.refuse(at, "there is no field "+quote(name)+" here", "take it away, or use the version of the program that wrote it")
		case seen[name]:
			return r.refuse(at, "this is given twice", "keep one of the two")
		case seen["days"] && len(r.path) == 1 && (name == "breads" || name == "bases"):
			return r.refuse(at, name+" belong before the days", "give the file as it was exported")
		}
		seen[name] = true
		if err := r.value(v.FieldByIndex(field)); err != nil {
			return err
		}
		if name == "format" && len(r.path) == 1 {
			if what, remedy := rightFormat(v.FieldByIndex(field)); what != "" {
				return r.refuse(at, what, remedy)
			}
		}
		r.path = r.path[:len(r.path)-1]
	}
	return r.closes()
}

// memory bounds what a byte of the file may cost, so that a small file of empty
// groups cannot fill the computer.
const memory = 8

func (r *reader) list(at int64, v reflect.Value) error {
	elem := v.Type().Elem()
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	return r.elements(at, elem.Size(), func(i int) error {
		v.Set(reflect.Append(v, reflect.Zero(elem)))
		return r.value(v.Index(i))
	})
}

// days reads days one by one and keeps none.
func (r *reader) days(at int64) error {
	r.begin()
	return r.elements(at, reflect.TypeFor[day]().Size(), func(i int) error {
		var d day
		if err := r.value(reflect.ValueOf(&d).Elem()); err != nil {
			return err
		}
		return r.each(i, &d)
	})
}

// elements reads a list whose elements take some bytes each.
func (r *reader) elements(at int64, size uintptr, read func(i int) error) error {
	if err := r.opens(at, '[', "a list [ ]"); err != nil {
		return err
	}
	for i := 0; r.dec.More(); i++ {
		r.path = append(r.path, step{i: i})
		at, _ := r.next()
		if r.spent += int64(size); r.spent > memory*at+1<<20 {
			return r.refuse(at, "there is next to nothing in too many list entries", "give the file as it was exported")
		}
		if err := read(i); err != nil {
			return err
		}
		r.path = r.path[:len(r.path)-1]
	}
	return r.closes()
}

func (r *reader) opens(at int64, with json.Delim, what string) error {
	t, err := r.token(at)
	if err == nil && t != with {
		err = r.refuse(at, what+" belongs here", "give the file as it was exported")
	}
	return err
}

func (r *reader) closes() error {
	at, _ := r.next()
	_, err := r.token(at)
	return err
}

// worded reads text that has a form: an instant, a time of day, a word of a list.
func (r *reader) worded(at int64, v encoding.TextUnmarshaler) error {
	t, err := r.token(at)
	if err != nil {
		return err
	}
	s, ok := t.(string)
	if !ok {
		return r.refuse(at, "text belongs here", "put it in quotation marks")
	}
	if err := v.UnmarshalText([]byte(s)); err != nil {
		return r.refuse(at, quote(s)+" is not what belongs here", "give the file as it was exported")
	}
	return nil
}

func (r *reader) scalar(at int64, v reflect.Value) error {
	t, err := r.token(at)
	if err != nil {
		return err
	}
	wrong := kindWords[v.Kind()] + " belongs here"
	switch s := t.(type) {
	case string:
		if v.Kind() == reflect.String {
			v.SetString(s)
			return nil
		}
	case bool:
		if v.Kind() == reflect.Bool {
			v.SetBool(s)
			return nil
		}
	case json.Number:
		if v.CanInt() || v.CanUint() || v.CanFloat() {
			if json.Unmarshal([]byte(s), v.Addr().Interface()) == nil {
				return nil
			}
			wrong = s.String() + " is not a number that fits here"
		}
	}
	return r.refuse(at, wrong, "give the file as it was exported")
}

var kindWords = map[reflect.Kind]string{
	reflect.String: "text", reflect.Bool: "true or false", reflect.Float64: "a number",
	reflect.Int: "a whole number", reflect.Int64: "a whole number", reflect.Uint64: "a whole number",
}

// of gives the fields of a struct by their JSON names, those of what it embeds
// among them.
func (c fieldsOf) of(t reflect.Type) map[string][]int {
	if c[t] == nil {
		c[t] = map[string][]int{}
		for _, f := range reflect.VisibleFields(t) {
			if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" {
				c[t][name] = f.Index
			}
		}
	}
	return c[t]
}
