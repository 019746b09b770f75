package dayfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"unicode/utf8"
)

// Bounds of a file. A day of sixty batches is about 60 kB and nests nine deep.
const (
	largest = 4 << 20
	deepest = 24
)

// reader gathers the faults of one file.
type reader struct {
	file string
	data []byte
	root node
	errs Errors
}

// decode reads data into v, a pointer to a struct with a format field, or without
// one where no format is asked for. The error is nil or Errors.
func (r *reader) decode(format string, v any) error {
	if !r.wellFormed() {
		return r.errs
	}
	if format != "" && !r.rightFormat(format) {
		return r.errs
	}
	r.shape(&r.root, reflect.TypeOf(v).Elem(), "")
	if len(r.errs) > 0 {
		return r.errs.sorted()
	}
	if err := json.Unmarshal(r.data, v); err != nil {
		r.fault(0, "", err.Error(), "write the file anew from an export")
		return r.errs
	}
	return nil
}

// wellFormed reads the tree, or says why there is none.
func (r *reader) wellFormed() bool {
	if len(r.data) > largest {
		r.fault(0, "", "the file is larger than 4 MiB", "no day, plan or history is; give another file")
		return false
	}
	r.data = bytes.TrimPrefix(r.data, []byte("\ufeff"))
	if len(bytes.TrimSpace(r.data)) == 0 {
		r.fault(0, "", "the file is empty", "give one with something in it")
		return false
	}
	if at := invalidUTF8(r.data); at >= 0 {
		r.fault(at, "", "this is not text in UTF-8", "save the file as UTF-8")
		return false
	}
	var syntax *json.SyntaxError
	if err := json.Unmarshal(r.data, new(json.RawMessage)); errors.As(err, &syntax) {
		r.syntax(syntax)
		return false
	}
	root, tooDeep := parse(r.data)
	if tooDeep >= 0 {
		r.fault(tooDeep, "", "groups lie more than 24 deep in each other", "no day nests so deep; look for a bracket too many")
		return false
	}
	r.root = root
	return true
}

// syntax words what encoding/json says, at the byte it stumbled over.
func (r *reader) syntax(err *json.SyntaxError) {
	at := min(max(int(err.Offset)-1, 0), len(r.data))
	switch what := err.Error(); {
	case strings.HasPrefix(what, "unexpected end"):
		r.fault(len(bytes.TrimRight(r.data, " \t\r\n")), "", "the file ends too soon", "close every bracket and quotation mark")
	case strings.HasSuffix(what, "after top-level value"):
		r.fault(at, "", "something follows after the end", "a file holds one thing; take away the rest")
	default:
		r.fault(at, "", what, "look here and just before for a comma, colon, quotation mark or bracket missing or too many")
	}
}

func invalidUTF8(data []byte) int {
	for at := 0; at < len(data); {
		c, size := utf8.DecodeRune(data[at:])
		if c == utf8.RuneError && size == 1 {
			return at
		}
		at += size
	}
	return -1
}

// rightFormat looks at the format before anything else: in another version
// every other fault would mislead.
func (r *reader) rightFormat(format string) bool {
	if r.root.kind != object {
		r.fault(r.root.at, "", "this is "+string(r.root.kind)+", not a file of "+format, `begin with {"format": "`+format+`", ...`)
		return false
	}
	n, ok := r.root.field("format")
	switch {
	case !ok:
		r.fault(r.root.at, "format", "no format is given", `begin with {"format": "`+format+`", ...`)
	case n.text == format:
		return true
	case strings.HasPrefix(n.text, family(format)):
		r.fault(n.at, "format", quote(n.text)+" is another version than "+format, "use the program's version that wrote the file, or write it anew")
	default:
		r.fault(n.at, "format", "this is no "+format+" file", "give one that begins with "+quote(format))
	}
	return false
}

// family is a format without its version.
func family(format string) string { return format[:strings.IndexByte(format, '/')+1] }
