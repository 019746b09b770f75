package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ovenward/store"
)

// What export writes, import takes in elsewhere, and export writes again.
func TestExportImport(t *testing.T) {
	here, there, files := t.TempDir(), t.TempDir(), t.TempDir()
	st, err := store.Open(t.Context(), filepath.Join(here, "ovenward.db"), clock)
	if err != nil {
		t.Fatal(err)
	}
	if err := st.SetSetting(t.Context(), "words", "proof punch pan"); err != nil {
		t.Fatal(err)
	}
	if got := command(t, `{"format":"ovenward-bundle/1"}`, "import", "-data", here, "-"); got.Code != internal || !strings.Contains(got.Err, "stop it first") || !strings.Contains(got.Err, "/inout") {
		t.Errorf("import while a server runs: %+v", got)
	}
	beside := command(t, "", "export", "-data", here)
	if beside.Code != fine || !strings.Contains(beside.Out, "proof punch pan") {
		t.Errorf("export while a server runs: %+v", beside)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(files, "all.json")
	if got := command(t, "", "export", file, "-data", here); got != (result{}) {
		t.Fatalf("export: %+v", got)
	}
	if got := command(t, "", "export", file, "-data", here); got.Code != badInput || !strings.Contains(got.Err, "already is a file") {
		t.Errorf("export over a file: %+v", got)
	}
	got := command(t, "", "import", file, "-data", there)
	if got.Code != fine || !strings.Contains(got.Out, "settings        1 new, 0 replaced") || !strings.Contains(got.Out, "backup-before-import") {
		t.Errorf("import: %+v", got)
	}
	for _, kind := range []string{"kitchen", "base doughs", "breads", "days", "learned", "standing orders", "ingredients", "temperatures"} {
		if !strings.Contains("\n"+got.Out, "\n"+kind+" ") {
			t.Errorf("nothing is said of %s: %s", kind, got.Out)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	made := regexp.MustCompile(`"made": "[^"]+"`) // when it was exported
	if got := command(t, "", "export", "-data", there); !made.Match(want) || made.ReplaceAllString(got.Out, "") != made.ReplaceAllString(string(want), "") {
		t.Errorf("exported again:\n%s\nwant\n%s", got.Out, want)
	}
	if got := command(t, `{"format":"ovenward-bundle/1"}`, "import", "-", "-replace", "-data", here); !strings.Contains(got.Out, "1 only here, gone now") {
		t.Errorf("replace: %+v", got)
	}
}

func TestBadExportImport(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for name, tt := range map[string]struct {
		in   string
		args []string
		want string
	}{
		"no database":  {"", []string{"export", "-data", dir}, "there is no database"},
		"two files":    {"", []string{"export", "a", "b"}, "2 files given"},
		"no file":      {"", []string{"import"}, "0 files given; it takes FILE"},
		"missing file": {"", []string{"import", filepath.Join(dir, "none.json")}, "no such file"},
		"day file":     {`{"format":"ovenward-day/1"}`, []string{"import", "-", "-data", dir}, "standard input:1:2: format: this is no ovenward-bundle/1 file"},
		"deep":         {strings.Repeat(`{"a":`, 1e5), []string{"import", "-", "-data", dir}, "standard input:1:2: a: there is no field"},
	} {
		if got := command(t, tt.in, tt.args...); got.Code != badInput || !strings.Contains(got.Err, tt.want) {
			t.Errorf("%s: %+v, want %q", name, got, tt.want)
		}
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("something was made of nothing: %v", left)
	}
}
