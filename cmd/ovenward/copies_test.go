package main

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/store"
	"ovenward/store/record"
)

// stored makes a data folder with the example day in it, as a first start does.
func stored(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	start(t, dir).wait(t)
	return dir
}

func mustCommand(t *testing.T, args ...string) result {
	t.Helper()
	got := command(t, "", args...)
	if got.Code != fine {
		t.Fatalf("%v: %+v", args, got)
	}
	return got
}

// The way back from a loss, by the commands alone.
func TestBackupAndRestore(t *testing.T) {
	t.Parallel()
	dir, file := stored(t), filepath.Join(t.TempDir(), "copy.db")
	mustCommand(t, "backup", "-data", dir, file)
	if got := command(t, "", "backup", "-data", dir, file); got.Code != badInput || !strings.Contains(got.Err, "there already is a file") {
		t.Errorf("twice: %+v", got)
	}
	if err := os.Remove(filepath.Join(dir, databaseName)); err != nil {
		t.Fatal(err)
	}
	if got := command(t, "", "backup", "-data", dir, file+"2"); got.Code != badInput || !strings.Contains(got.Err, "there is no database") {
		t.Errorf("of nothing: %+v", got)
	}
	mustCommand(t, "restore", "-data", dir, file)
	if got := mustCommand(t, "doctor", "-data", dir); !strings.Contains(got.Out, "A morning at the Slipway tearoom") {
		t.Errorf("after restoring, the doctor says\n%s", got.Out)
	}
	if got := mustCommand(t, "restore", "-data", dir, file); !regexp.MustCompile(`ovenward-before-restore-\d{8}T\d{6}Z\.db`).MatchString(got.Out) {
		t.Errorf("over it: %+v", got)
	}
}

// What is given to be copied, restored or taken in and cannot be is said with
// what to do, and nothing is made of it.
func TestCopiesOfNothing(t *testing.T) {
	t.Parallel()
	dir, root := stored(t), t.TempDir()
	text, none := filepath.Join(root, "text"), filepath.Join(root, "none")
	if err := os.WriteFile(text, []byte("flour, water, salt"), 0o600); err != nil {
		t.Fatal(err)
	}
	before := tree(t, root)
	for _, tt := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"restore", "-data", none, filepath.Join(root, "lost.db")}, badInput, `lost.db"; name a backup`},
		{[]string{"restore", "-data", none, ""}, badInput, "the name of a file is empty; write it out"},
		{[]string{"restore", "-data", none, text}, badInput, "is not a database; nothing was changed: choose another file or folder"},
		{[]string{"restore", "-data", none, root}, badInput, "is not a file; name a backup"},
		{[]string{"restore", "-data", text, text}, internal, "a file stands where the folder should be; move it, or choose another folder"},
		{[]string{"backup", "-data", dir, ""}, badInput, "the name of a file is empty; write it out"},
		{[]string{"backup", "-data", dir, "-"}, badInput, "give the name of a file"},
		{[]string{"backup", "-data", dir, root}, badInput, "there already is a file"},
		{[]string{"backup", "-data", dir, filepath.Join(none, "copy.db")}, badInput, "there is no folder " + none + "; make it, or give another name"},
		{[]string{"backup", "-data", none, filepath.Join(root, "copy.db")}, badInput, "there is no database " + filepath.Join(none, databaseName) + "; say where it is with -data FOLDER"},
		{[]string{"backup", "-data", text, filepath.Join(root, "copy.db")}, internal, "a file stands where the folder should be"},
		{[]string{"export", "-data", dir, filepath.Join(none, "all.json")}, badInput, "check the folder and its rights, or give another name"},
		{[]string{"export", "-data", text}, internal, "a file stands where the folder should be"},
		{[]string{"import", "-data", none, root}, badInput, "give the name of a file that you may read"},
		{[]string{"doctor", "-data", text}, judged, ""},
	} {
		got := command(t, "", tt.args...)
		if got.Code != tt.code || !strings.Contains(got.Err, tt.says) || strings.HasPrefix(got.Err, "store:") || strings.Contains(got.Err, " store:") {
			t.Errorf("%q: %+v, want %d and %q", tt.args, got, tt.code, tt.says)
		}
		os.RemoveAll(none) // restore makes the folder before it looks the file through
		if diff := cmp.Diff(before, tree(t, root)); diff != "" {
			t.Fatalf("%q (-before +after):\n%s", tt.args, diff)
		}
	}
}

// While a program serves, a backup is made and a restore refused.
func TestCopiesWhileServing(t *testing.T) {
	t.Parallel()
	dir, file := t.TempDir(), filepath.Join(t.TempDir(), "copy.db")
	r := start(t, dir)
	mustCommand(t, "backup", "-data", dir, file)
	if got := command(t, "", "restore", "-data", dir, file); got.Code != internal || !strings.Contains(got.Err, "another ovenward (process") || !strings.Contains(got.Err, "stop it first") {
		t.Errorf("restore: %+v", got)
	}
	if status, _ := get(t, r.base+"/days"); status != 200 {
		t.Errorf("it answers %d", status)
	}
	if err := copied(dir); err != nil {
		t.Error(err)
	}
	r.wait(t)
}

// copied waits for the daily copy of a program that has just begun to serve, which
// is made beside all else.
func copied(dir string) error {
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if copies, err := store.Dailies(filepath.Join(dir, copiesName)); err != nil || len(copies) == 1 {
			return err
		}
	}
	return errors.New("no daily copy")
}

// damage overwrites pages of a database.
func damage(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	_, err = f.WriteAt([]byte(strings.Repeat("flour", 8000)), 8192)
	return errors.Join(err, f.Close())
}

// planAnew saves another plan of the example, as changed.
func planAnew(ctx context.Context, dir string, change func(*record.Plan)) error {
	st, err := store.Open(ctx, filepath.Join(dir, databaseName), clock)
	if err != nil {
		return err
	}
	days, err := st.Days(ctx)
	if err != nil {
		return errors.Join(err, st.Close())
	}
	p, err := st.Plan(ctx, days[0].ID)
	if err == nil {
		change(&p)
		_, err = st.SavePlan(ctx, p.Day, p.From, p.Plan, nil, p.Saved)
	}
	return errors.Join(err, st.Close())
}

func TestRestoreRuined(t *testing.T) {
	t.Parallel()
	dir, file := stored(t), filepath.Join(t.TempDir(), "copy.db")
	mustCommand(t, "backup", "-data", dir, file)
	if err := damage(file); err != nil {
		t.Fatal(err)
	}
	if got := command(t, "", "restore", "-data", dir, file); got.Code != badInput || !strings.Contains(got.Err, "is not sound") || got.Out != "" {
		t.Errorf("%+v", got)
	}
	mustCommand(t, "doctor", "-data", dir)
}

// What the doctor says of what is wrong, and its exit code.
func TestDoctor(t *testing.T) {
	t.Parallel()
	old, ahead := clock().AddDate(0, 0, -4).Format(time.DateOnly), clock().AddDate(5, 0, 0).Truncate(time.Second)
	if got := mustCommand(t, "doctor", "-data", filepath.Join(t.TempDir(), "none")); !strings.Contains(got.Out, "there is none yet") {
		t.Errorf("of nothing: %s", got.Out)
	}
	for _, tt := range []struct {
		name string
		do   func(dir string) error
		says []string
	}{
		{"damaged", func(dir string) error {
			return damage(filepath.Join(dir, databaseName))
		}, []string{"BAD  database", "restore a backup"}},
		{"damaged, with a copy", func(dir string) error {
			return errors.Join(damage(filepath.Join(dir, databaseName)), os.WriteFile(filepath.Join(dir, copiesName, "ovenward-2099-01-02.db"), nil, 0o600))
		}, []string{"restore a backup; the newest copy is of 2099-01-02: ovenward restore -data "}},
		{"not a database", func(dir string) error {
			return os.WriteFile(filepath.Join(dir, databaseName), []byte("flour, water, salt"), 0o600)
		}, []string{"BAD  database", "is not a database"}},
		{"open to others", func(dir string) error {
			return os.Chmod(filepath.Join(dir, databaseName), 0o644)
		}, []string{"BAD  rights", "(mode 0644); chmod go="}},
		{"open folder", func(dir string) error { return os.Chmod(dir, 0o755) }, []string{"BAD  rights", "(mode 0755); chmod go="}},
		{"clock set back", func(dir string) error {
			return planAnew(t.Context(), dir, func(p *record.Plan) { p.Saved = ahead })
		}, []string{"BAD  clock", "something was saved at " + ahead.Format(time.DateTime) + " UTC; set the computer's date and time"}},
		{"an old copy while it serves", func(dir string) error {
			copies := filepath.Join(dir, copiesName)
			if err := os.RemoveAll(copies); err != nil {
				return err
			}
			start(t, dir) // until the test ends
			err := copied(dir)
			return errors.Join(err, os.RemoveAll(copies), os.Mkdir(copies, 0o700), os.WriteFile(filepath.Join(copies, "ovenward-"+old+".db"), nil, 0o600))
		}, []string{"BAD  copies", "is of " + old + " although the program runs"}},
		{"a plan that does not hold", func(dir string) error {
			return planAnew(t.Context(), dir, func(p *record.Plan) { p.Plan.Tasks = p.Plan.Tasks[:len(p.Plan.Tasks)-3] })
		}, []string{"BAD  day", "plan it again"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir := stored(t)
			if err := tt.do(dir); err != nil {
				t.Fatal(err)
			}
			got := command(t, "", "doctor", "-data", dir)
			for _, want := range tt.says {
				if got.Code != judged || !strings.Contains(got.Out, want) {
					t.Errorf("exit %d, without %q:\n%s", got.Code, want, got.Out)
				}
			}
		})
	}
}

// A copy that cannot be made is said in the log and hinders nothing.
func TestCopierSaysWhatFails(t *testing.T) {
	t.Parallel()
	st, err := store.Open(t.Context(), filepath.Join(t.TempDir(), databaseName), clock)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	in := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(in, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	var log strings.Builder
	copier{st, filepath.Join(in, copiesName), clock, slog.New(slog.NewTextHandler(&log, nil))}.copy(t.Context())
	if !strings.Contains(log.String(), "today's copy of the database was not made") {
		t.Errorf("the log says %q", log.String())
	}
}
