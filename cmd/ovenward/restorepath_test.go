package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What restore is given is only read, wherever its path leads: what is no backup
// is refused with everything left as it was, and one named over .. goes into the
// data folder and nowhere else.
func TestRestorePaths(t *testing.T) {
	t.Parallel()
	root := t.TempDir()
	data, other := filepath.Join(root, "data"), filepath.Join(root, "other")
	if err := os.Rename(stored(t), data); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(other, 0o700); err != nil {
		t.Fatal(err)
	}
	backup := filepath.Join(other, "copy.db")
	mustCommand(t, "backup", "-data", data, backup)
	if err := os.WriteFile(filepath.Join(root, "secret"), []byte("flour, water, salt"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(root, "secret"), filepath.Join(other, "ovenward-2026-11-01.db")); err != nil {
		t.Fatal(err)
	}
	before := tree(t, root)
	for _, from := range []string{"", "..", other, data + "/../secret", other + "/ovenward-2026-11-01.db", other + "/../../../../../../../../etc/passwd", data + "/../none.db", "/dev/null"} {
		if got := command(t, "", "restore", "-data", data, from); got.Code == 0 {
			t.Errorf("%q is restored: %s", from, got.Out)
		}
		if diff := cmp.Diff(before, tree(t, root)); diff != "" {
			t.Fatalf("%q (-before +after):\n%s", from, diff)
		}
	}
	mustCommand(t, "restore", "-data", other+"/../data", data+"/../other/../other/copy.db")
	after := tree(t, root)
	for name, body := range before {
		if filepath.Dir(name) != "data" && after[name] != body {
			t.Errorf("%s has changed", name)
		}
	}
	for name := range after {
		if _, there := before[name]; !there && filepath.Dir(name) != "data" {
			t.Errorf("%s is new", name)
		}
	}
}

// tree is every file below a folder with what it holds, but for the lock.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) == ".lock" {
			return err
		}
		body, err := os.ReadFile(path)
		name, _ := filepath.Rel(root, path)
		out[name] = string(body)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
