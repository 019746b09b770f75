package bundle

import (
	"bytes"
	"encoding"
	"encoding/json"
	"io"
	"reflect"
	"strings"
	"unicode/utf8"
)

// reader fills values from JSON as strictly as it can be read, in one pass and
// without a tree, as bundles are large and written by programs: the first fault
// ends it.
type reader struct {
	name   string
	data   []byte
	dec    *json.Decoder
	path   []step
	spent  int            // bytes of memory list elements took
	fields fieldsOf       // cache
	sought map[string]int // paths to be found in data: where they begin
}

// step is a field or, with an empty name, a place in a list.
type step struct {
	name string
	i    int
}

// fieldsOf is, by type, where the fields with a JSON name are.
type fieldsOf map[reflect.Type]map[string][]int

func newReader(name string, data []byte) *reader {
	r := &reader{name: name, data: bytes.TrimPrefix(data, []byte("\ufeff")), fields: fieldsOf{}}
	r.dec = json.NewDecoder(bytes.NewReader(r.data))
	r.dec.UseNumber()
	return r
}

// read fills to, a pointer. The error is nil or dayfile.Errors.
func (r *reader) read(to *file) error {
	switch {
	case len(r.data) > Largest:
		return r.refuse(0, "the file is larger than 128 MiB", TooLarge)
	case len(bytes.TrimSpace(r.data)) == 0:
		return r.refuse(0, "the file is empty", "give an export of everything")
	case !utf8.Valid(r.data):
		return r.refuse(r.broken(), "this is not text in UTF-8", "give the file as it was exported")
	}
	if err := r.value(reflect.ValueOf(to).Elem()); err != nil {
		return err
	}
	if to.Format == "" {
		return r.refuse(0, "no format is given", "give an export of everything")
	}
	at := r.next()
	if _, err := r.dec.Token(); err != io.EOF {
		return r.refuse(at, "something follows after the end", "give the file as it was exported")
	}
	return nil
}

// broken is the first byte that is not UTF-8.
func (r *reader) broken() int {
	at := 0
	for at < len(r.data) {
		c, n := utf8.DecodeRune(r.data[at:])
		if c == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	return at
}

// next is where the next token begins.
func (r *reader) next() int {
	at := int(r.dec.InputOffset())
	for at < len(r.data) && strings.IndexByte(" \t\r\n,:", r.data[at]) >= 0 {
		at++
	}
	return at
}

// value reads one value into v.
func (r *reader) value(v reflect.Value) error {
	at := r.next()
	if r.sought != nil {
		if _, ok := r.sought[r.where()]; ok {
			r.sought[r.where()] = at
		}
	}
	if text, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		return r.worded(at, text)
	}
	null := at < len(r.data) && r.data[at] == 'n'
	switch k := v.Kind(); {
	case null && (k == reflect.Pointer || k == reflect.Slice):
		_, err := r.token(at)
		return err
	case k == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return r.value(v.Elem())
	case k == reflect.Struct:
		return r.group(at, v)
	case k == reflect.Slice:
		return r.list(at, v)
	}
	return r.scalar(at, v)
}

func (r *reader) token(at int) (json.Token, error) {
	t, err := r.dec.Token()
	switch {
	case err == io.EOF || err == io.ErrUnexpectedEOF:
		return nil, r.refuse(len(r.data), "the file ends too soon", "give the whole file as it was exported")
	case err != nil:
		return nil, r.refuse(at, err.Error(), "give the file as it was exported")
	}
	return t, nil
}

func (r *reader) group(at int, v reflect.Value) error {
	if err := r.opens(at, '{', "a group { }"); err != nil {
		return err
	}
	seen := map[string]bool{}
	for r.dec.More() {
		at := r.next()
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
	_, err := r.token(r.next())
	return err
}

// memory bounds what a byte of the file may cost, so that a small file of empty
// groups cannot fill the computer.
const memory = 8

func (r *reader) list(at int, v reflect.Value) error {
	if err := r.opens(at, '[', "a list [ ]"); err != nil {
		return err
	}
	elem := v.Type().Elem()
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	for i := 0; r.dec.More(); i++ {
		r.path = append(r.path, step{i: i})
		if r.spent += int(elem.Size()); r.spent > memory*len(r.data)+1<<20 {
			return r.refuse(r.next(), "there is next to nothing in too many list entries", "give the file as it was exported")
		}
		v.Set(reflect.Append(v, reflect.Zero(elem)))
		if err := r.value(v.Index(i)); err != nil {
			return err
		}
		r.path = r.path[:len(r.path)-1]
	}
	_, err := r.token(r.next())
	return err
}

func (r *reader) opens(at int, with json.Delim, what string) error {
	t, err := r.token(at)
	if err == nil && t != with {
		err = r.refuse(at, what+" belongs here", "give the file as it was exported")
	}
	return err
}

// worded reads text that has a form: an instant, a time of day, a word of a list.
func (r *reader) worded(at int, v encoding.TextUnmarshaler) error {
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

func (r *reader) scalar(at int, v reflect.Value) error {
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
