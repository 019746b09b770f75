package dayfile_test

import (
	"bytes"
	"context"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

const folder = "../../testdata/schema/"

func compile(tb testing.TB, file string) *jsonschema.Schema {
	tb.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat() // instants are RFC 3339 date-times
	s, err := c.Compile(folder + file)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func instance(tb testing.TB, data []byte) any {
	tb.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		tb.Fatal(err)
	}
	return v
}

// Every day file, as kept and as written anew, and every plan made of one keeps
// to its schema by an independent reading of JSON Schema 2020-12.
func TestFilesKeepToTheirSchemas(t *testing.T) {
	t.Parallel()
	days, plans := compile(t, "day-1.schema.json"), compile(t, "plan-1.schema.json")
	for name, data := range files(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if err := days.Validate(instance(t, data)); err != nil {
				t.Errorf("the day file: %v", err)
			}
			day, err := dayfile.DecodeDay(name, data)
			if err != nil {
				t.Fatal(err)
			}
			if data, err = dayfile.EncodeDay(day); err != nil {
				t.Fatal(err)
			}
			if err := days.Validate(instance(t, data)); err != nil {
				t.Errorf("the day written anew: %v", err)
			}
			plan, err := schedule.PlanDay(context.Background(), day, day.Settings)
			if err != nil {
				t.Fatal(err)
			}
			if data, err = dayfile.EncodePlan(&plan); err != nil {
				t.Fatal(err)
			}
			if err := plans.Validate(instance(t, data)); err != nil {
				t.Errorf("the plan: %v", err)
			}
			again, err := dayfile.DecodePlan(name, data)
			if err != nil {
				t.Fatal(err)
			}
			if twice, _ := dayfile.EncodePlan(again); !bytes.Equal(data, twice) {
				t.Error("the plan changed by writing and reading")
			}
		})
	}
}

// The schemas refuse what the reader refuses.
func TestSchemaRefuses(t *testing.T) {
	t.Parallel()
	days := compile(t, "day-1.schema.json")
	for _, e := range [][2]string{
		{`"bake_loss": 11`, `"bakeloss": 11`},
		{`"max_celsius": 250`, `"max_celsius": "250"`},
		{`"pieces": 1,`, `"pieces": 1.5,`},
		{`"06:30"`, `"6:30"`},
		{`"ovenward-day/1"`, `"ovenward-day/2"`},
	} {
		if days.Validate(instance(t, edit(t, e[0], e[1]))) == nil {
			t.Errorf("%s is allowed", e[1])
		}
	}
}

// The schemas name exactly the fields of the types, level by level, and the
// words of their constants.
func TestSchemasNameEveryField(t *testing.T) {
	t.Parallel()
	for file, typ := range map[string]reflect.Type{
		"day-1.schema.json":  reflect.TypeFor[schedule.Day](),
		"plan-1.schema.json": reflect.TypeFor[schedule.Plan](),
	} {
		data, err := os.ReadFile(folder + file)
		if err != nil {
			t.Fatal(err)
		}
		s := schema{}
		if err := json.Unmarshal(data, &s); err != nil {
			t.Fatal(err)
		}
		s.constants = constants(t)
		s.compare(t, file, s, typ)
	}
}

// constants lists the texts of the constants of every named type of the domain.
func constants(t *testing.T) map[string][]string {
	t.Helper()
	all := map[string][]string{}
	for _, pattern := range []string{"../*.go", "../dough/*.go"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if spec, ok := n.(*ast.ValueSpec); ok && len(spec.Values) == 1 {
					typ, named := spec.Type.(*ast.Ident)
					value, literal := spec.Values[0].(*ast.BasicLit)
					if text, err := strconv.Unquote(litText(value, literal)); named && err == nil && text != "" {
						all[typ.Name] = append(all[typ.Name], text)
					}
				}
				return true
			})
		}
	}
	return all
}

func litText(l *ast.BasicLit, ok bool) string {
	if !ok || l.Kind != token.STRING {
		return ""
	}
	return l.Value
}

// schema is as much of a schema document as names fields.
type schema struct {
	Ref        string            `json:"$ref"`
	Defs       map[string]schema `json:"$defs"`
	Properties map[string]schema `json:"properties"`
	Items      *schema           `json:"items"`
	Enum       []string          `json:"enum"`

	constants map[string][]string
}

func (root schema) compare(t *testing.T, path string, s schema, typ reflect.Type) {
	if name, ok := strings.CutPrefix(s.Ref, "#/$defs/"); ok {
		s = root.Defs[name]
	}
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
		if typ.Kind() == reflect.Slice {
			if s.Items == nil {
				t.Errorf("%s: no items", path)
				return
			}
			root.compare(t, path+"[]", *s.Items, typ.Elem())
			return
		}
		typ = typ.Elem()
	}
	if typ.Kind() == reflect.String && s.Enum != nil {
		root.words(t, path, s.Enum, typ.Name())
	}
	if typ.Kind() != reflect.Struct || typ == reflect.TypeFor[time.Time]() {
		return
	}
	var want, got []string
	for _, f := range reflect.VisibleFields(typ) {
		if f.Anonymous {
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		want = append(want, name)
		root.compare(t, path+"."+name, s.Properties[name], f.Type)
	}
	for name := range s.Properties {
		got = append(got, name)
	}
	slices.Sort(want)
	slices.Sort(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%s (-type +schema):\n%s", path, diff)
	}
}

// words compares an enumeration with the constants of its type.
func (root schema) words(t *testing.T, path string, got []string, typ string) {
	want := slices.DeleteFunc(slices.Clone(root.constants[typ]), func(w string) bool {
		return strings.HasPrefix(path, "day-1") && w == string(schedule.Preheat) // no stage of a method
	})
	got = slices.DeleteFunc(slices.Clone(got), func(w string) bool { return w == "" })
	slices.Sort(want)
	slices.Sort(got)
	if typ != "string" && !slices.Equal(want, got) {
		t.Errorf("%s allows %q, the constants of %s are %q", path, got, typ, want)
	}
}
