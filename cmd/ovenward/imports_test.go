package main

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const module = "ovenward/"

// arrows lists what each package of the program may import of it. A name ending
// in /... means every package below, too. Everything else is forbidden.
var arrows = map[string][]string{
	"cmd/ovenward": {"web", "web/view", "web/alerts", "web/live", "web/entry", "web/cert", "store", "store/bundle", "store/record", "migrations", "static", "testdata",
		"schedule", "schedule/dayfile", "schedule/simulate", "schedule/rise", "schedule/unit"},

	"web":        {"web/view", "web/live", "web/entry", "web/cert", "web/ical", "web/sheet", "web/recipe", "store/record", "store/bundle", "schedule", "schedule/..."},
	"web/alerts": {"schedule", "store/record", "web/live"},
	"web/sheet":  {"schedule", "schedule/unit"},
	"web/recipe": {"schedule", "schedule/dough", "schedule/unit"},
	"web/view":   {"schedule", "schedule/dough", "schedule/rise", "schedule/unit", "store/record", "store/bundle"},
	"web/ical":   {"schedule", "schedule/unit"},
	"web/entry":  {},
	"web/cert":   {},
	"web/live":   {},
	"static":     {},

	"store":           {"migrations", "schedule", "schedule/...", "store/bundle", "store/record"},
	"store/bundle":    {"schedule", "schedule/...", "store/record"},
	"store/record":    {"schedule", "schedule/unit"},
	"store/storetest": {"store", "store/bundle", "store/record", "schedule", "schedule/dough", "schedule/learn", "testdata"},
	"migrations":      {},
	"testdata":        {},

	"schedule":          {"schedule/dough", "schedule/heat", "schedule/rise", "schedule/simulate", "schedule/solve", "schedule/learn", "schedule/unit"},
	"schedule/dayfile":  {"schedule", "schedule/simulate", "schedule/rise"},
	"schedule/simulate": {"schedule/rise", "schedule/heat", "schedule/unit"},
	"schedule/dough":    {"schedule/unit"},
	"schedule/heat":     {"schedule/unit"},
	"schedule/rise":     {"schedule/unit"},
	"schedule/learn":    {"schedule/unit"},
	"schedule/unit":     {},
	"schedule/solve":    {},
}

// worldly packages touch the machine, the clock, chance or the network; nothing
// under schedule may reach them by itself.
var worldly = []string{
	"os", "os/exec", "os/signal", "os/user", "io/ioutil", "net", "net/http", "syscall", "log", "log/slog",
	"math/rand", "math/rand/v2", "crypto/rand", "database/sql", "runtime", "runtime/debug", "sync", "sync/atomic", "unsafe", "C",
}

// driver is imported by store alone, so that all else builds without cgo.
const driver = "github.com/mattn/go-sqlite3"

type goPackage struct {
	ImportPath string
	Imports    []string
	GoFiles    []string
	Dir        string
}

// packages lists the program's own packages.
func packages(t *testing.T) []goPackage {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-json=ImportPath,Imports,GoFiles,Dir", "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		if exit, ok := errors.AsType[*exec.ExitError](err); ok {
			t.Fatalf("%v: %s", err, exit.Stderr)
		}
		t.Fatal(err)
	}
	var own []goPackage
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p goPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(p.ImportPath, module) {
			own = append(own, p)
		}
	}
	if len(own) < 10 {
		t.Fatalf("only %d packages found", len(own))
	}
	return own
}

func TestArrows(t *testing.T) {
	t.Parallel()
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, module)
		if testOnly(name) {
			continue
		}
		allowed, known := arrows[name]
		if !known {
			t.Errorf("%s is not in the table of arrows: say what it may import", name)
		}
		for _, imp := range p.Imports {
			to, own := strings.CutPrefix(imp, module)
			switch {
			case own && !allows(allowed, to):
				t.Errorf("%s imports %s; it may import %s", name, to, orNothing(allowed))
			case imp == driver && name != "store":
				t.Errorf("%s imports the database driver; only store does", name)
			case pure(name) && slices.Contains(worldly, imp):
				t.Errorf("%s imports %s; the domain has no I/O, no clock, no chance and no goroutines", name, imp)
			}
		}
	}
}

// testOnly packages serve tests and may import what they need.
func testOnly(name string) bool {
	return strings.HasSuffix(name, "test") && name != "store/storetest" || strings.HasPrefix(name, "web/e2e")
}

func pure(name string) bool { return name == "schedule" || strings.HasPrefix(name, "schedule/") }

func allows(allowed []string, to string) bool {
	return slices.ContainsFunc(allowed, func(a string) bool {
		below, all := strings.CutSuffix(a, "...")
		return a == to || all && strings.HasPrefix(to, below)
	})
}

func orNothing(allowed []string) string {
	if len(allowed) == 0 {
		return "none of ours"
	}
	return strings.Join(allowed, ", ")
}

// The domain does not ask what time it is, starts nothing and remembers
// nothing: no clock, no goroutine, no init.
func TestDomainIsPure(t *testing.T) {
	t.Parallel()
	files := 0
	err := filepath.WalkDir("../../schedule", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if what := impure(n); what != "" {
				t.Errorf("%s: %s", set.Position(n.Pos()), what)
			}
			return true
		})
		return nil
	})
	if err != nil || files < 50 {
		t.Fatalf("%d files read, %v", files, err)
	}
}

// impure says what in a node the domain must not do.
func impure(n ast.Node) string {
	switch n := n.(type) {
	case *ast.GoStmt:
		return "starts a goroutine"
	case *ast.FuncDecl:
		if n.Name.Name == "init" && n.Recv == nil {
			return "has an init"
		}
	case *ast.SelectorExpr:
		x, ok := n.X.(*ast.Ident)
		if ok && x.Name == "time" && slices.Contains([]string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Local"}, n.Sel.Name) {
			return "asks the clock: time." + n.Sel.Name
		}
	}
	return ""
}
