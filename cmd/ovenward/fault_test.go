//go:build linux

package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A start on what cannot be served ends with what is the matter and what helps,
// and what was there stays as it was.
func TestServeFaults(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		make func(t *testing.T) (dir string)
		says []string
	}{
		{"disk full", func(t *testing.T) string { return tmpfs(t, "size=192k") }, []string{"the disk is full; make room and try again"}},
		{"disk that only reads", func(t *testing.T) string {
			dir := tmpfs(t, "size=2m")
			ruin(t, dir, nil)
			readOnly(t, dir)
			return dir
		}, []string{"the folder cannot be written; check its rights, or choose another"}},
		{"folder on a disk that only reads", func(t *testing.T) string {
			dir := tmpfs(t, "size=2m")
			readOnly(t, dir)
			return filepath.Join(dir, "new")
		}, []string{"the folder cannot be written; check its rights, or choose another"}},
		{"a file for a folder", func(t *testing.T) string {
			file := filepath.Join(t.TempDir(), "file")
			write(t, file, "flour")
			return file
		}, []string{"a file stands where the folder should be; move it, or choose another folder"}},
		{"a folder for a file", func(t *testing.T) string {
			dir := t.TempDir()
			if err := os.Mkdir(filepath.Join(dir, databaseName), 0o700); err != nil {
				t.Fatal(err)
			}
			return dir
		}, []string{"a folder stands where the file should be; move it, or choose another"}},
		{"damaged", func(t *testing.T) string {
			dir := stored(t)
			copies := filepath.Join(dir, copiesName)
			if err := os.MkdirAll(copies, 0o700); err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(copies, "ovenward-2099-01-02.db"), "a copy")
			ruin(t, dir, []byte(strings.Repeat("flour", 50_000)))
			return dir
		}, []string{"the database is damaged; restore a backup", "the newest copy is of 2099-01-02: ovenward restore -data ", `backup/ovenward-2099-01-02.db"`}},
		{"text", func(t *testing.T) string {
			dir := t.TempDir()
			write(t, filepath.Join(dir, databaseName), "flour, water, salt")
			return dir
		}, []string{"is not a database; nothing was changed"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir := tt.make(t)
			before := contents(t, dir)
			got := command(t, "", "serve", "-addr", "127.0.0.1:0", "-data", dir)
			for _, want := range tt.says {
				if got.Code != internal || !strings.Contains(got.Err, want) {
					t.Errorf("exit %d without %q: %s", got.Code, want, got.Err)
				}
			}
			if tt.name == "disk full" { // what it began to make is made when there is room
				return
			}
			if diff := cmp.Diff(before, contents(t, dir)); diff != "" {
				t.Errorf("something has changed (-want +got):\n%s", diff)
			}
		})
	}
}

// On a disk with no room, or that only reads, the doctor still reads what is
// there, says what is the matter, and a copy goes elsewhere.
func TestDoctorWithoutRoom(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		make func(t *testing.T, dir string)
		says string
	}{
		"full": {func(t *testing.T, dir string) {
			f, err := os.Create(filepath.Join(dir, "pad"))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			for err == nil {
				_, err = f.Write(make([]byte, 4096))
			}
			if !errors.Is(err, syscall.ENOSPC) {
				t.Fatal(err)
			}
		}, "BAD  disk       0 MB are free"},
		"only read": {readOnly, "BAD  rights     ovenward may not write to"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := tmpfs(t, "size=2m,mode=700")
			b, err := os.ReadFile(filepath.Join(stored(t), databaseName))
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(dir, databaseName), string(b))
			tt.make(t, dir)
			got := command(t, "", "doctor", "-data", dir)
			if got.Code != judged || !strings.Contains(got.Out, tt.says) || !strings.Contains(got.Out, "A morning at the Slipway tearoom") {
				t.Errorf("exit %d without %q:\n%s", got.Code, tt.says, got.Out)
			}
			mustCommand(t, "backup", "-data", dir, filepath.Join(t.TempDir(), "copy.db"))
			mustCommand(t, "export", "-data", dir, filepath.Join(t.TempDir(), "all.json"))
		})
	}
}

// A first start that ran out of disk midway is simply done again.
func TestServeAfterFullDisk(t *testing.T) {
	t.Parallel()
	dir := tmpfs(t, "size=192k")
	if got := command(t, "", "serve", "-addr", "127.0.0.1:0", "-data", dir); !strings.Contains(got.Err, "disk is full") {
		t.Fatalf("%+v", got)
	}
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT, "size=8m"); err != nil {
		t.Fatal(err)
	}
	r := start(t, dir)
	if _, page := get(t, r.base+"/days"); !strings.Contains(page, "Slipway") {
		t.Error("without the example")
	}
	r.wait(t)
}

// What a killed program leaves beside its database is read, and said.
func TestDoctorOfLeftovers(t *testing.T) {
	t.Parallel()
	live, dead := t.TempDir(), t.TempDir()
	r := start(t, live)
	if err := copied(live); err != nil {
		t.Fatal(err)
	}
	for _, side := range []string{"", "-wal"} { // as a crash leaves them
		b, err := os.ReadFile(filepath.Join(live, databaseName+side))
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(dead, databaseName+side), string(b))
	}
	if err := os.Chmod(dead, 0o700); err != nil {
		t.Fatal(err)
	}
	if got := command(t, "", "doctor", "-data", live); !strings.Contains(got.Out, "ok   in use") {
		t.Errorf("while it serves:\n%s", got.Out)
	}
	r.wait(t)
	got := command(t, "", "doctor", "-data", dead)
	if !strings.Contains(got.Out, "a program that was killed has left") || !strings.Contains(got.Out, "A morning at the Slipway tearoom") {
		t.Errorf("after a crash:\n%s", got.Out)
	}
	if got := command(t, "", "doctor", "-data", live); strings.Contains(got.Out, "in use") || strings.Contains(got.Out, "killed") || !strings.Contains(got.Out, "1 daily, the newest of") {
		t.Errorf("after its end:\n%s", got.Out)
	}
}

// The doctor looks at a database on a disk that only reads.
func TestDoctorReadOnly(t *testing.T) {
	t.Parallel()
	dir := tmpfs(t, "size=8m")
	start(t, dir).wait(t)
	readOnly(t, dir)
	if got := command(t, "", "doctor", "-data", dir); !strings.Contains(got.Out, "every page and every reference is sound") {
		t.Errorf("%s", got.Out)
	}
}

// tmpfs is a folder with a file system of its own.
func tmpfs(t *testing.T, how string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, how+",mode=0700"); err != nil {
		t.Skipf("only root can mount: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

func readOnly(t *testing.T, dir string) {
	t.Helper()
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
}

// ruin writes over the database's pages.
func ruin(t *testing.T, dir string, with []byte) {
	t.Helper()
	f, err := os.OpenFile(filepath.Join(dir, databaseName), os.O_RDWR|os.O_CREATE, 0o600)
	if err == nil {
		_, err = f.WriteAt(with, 8192)
	}
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
}

func write(t *testing.T, file, what string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(what), 0o600); err != nil {
		t.Fatal(err)
	}
}

// contents gives every file of a folder but the lock, or the one file.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) || err == nil && (d.IsDir() || strings.HasSuffix(path, ".lock")) {
			return nil
		}
		if err != nil {
			return err
		}
		b, err := os.ReadFile(path)
		all[path] = string(b)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
