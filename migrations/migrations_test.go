package migrations_test

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"

	"ovenward/migrations"
)

func TestNumberedWithoutGaps(t *testing.T) {
	names := files(t)
	if len(names) == 0 {
		t.Fatal("no migrations embedded")
	}
	for i, name := range names {
		if want := fmt.Sprintf("%04d_", i+1); !strings.HasPrefix(name, want) {
			t.Errorf("file %d is %q, want it to begin with %q", i+1, name, want)
		}
	}
}

// The checksums are in the format of sha256sum, so that `sha256sum -c
// checksums` says the same as this test.
func TestLandedFilesNeverChange(t *testing.T) {
	raw, err := os.ReadFile("checksums")
	if err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, name := range files(t) {
		body, err := fs.ReadFile(migrations.FS, name)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&got, "%x  %s\n", sha256.Sum256(body), name)
	}
	if got.String() != string(raw) {
		t.Errorf("the files give\n%swant, from checksums,\n%sadd a new migration instead of changing a landed one", got.String(), raw)
	}
}

func files(t *testing.T) []string {
	t.Helper()
	names, err := fs.Glob(migrations.FS, "*.sql")
	if err != nil {
		t.Fatal(err)
	}
	return names
}
