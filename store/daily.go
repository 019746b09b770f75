package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// How many daily copies are kept: those of the newest seven days that have one,
// and before them the newest of each of four calendar weeks.
const (
	daysKept  = 7
	weeksKept = 4
)

// The name of a daily copy is its day between these.
const (
	dailyPrefix = "ovenward-"
	dailySuffix = ".db"
)

// BackupDaily writes the copy of now's day into folder, unless it is there, and
// removes copies of former days that the rule does not keep. It gives the path of
// the copy made, "" for none. Files with other names are left alone, and so are
// copies of days to come: the clock may have been wrong.
func (s *Store) BackupDaily(ctx context.Context, folder string, now time.Time) (made string, err error) {
	defer wrap(&err, "daily backup to %s", folder)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", err
	}
	path := filepath.Join(folder, DailyName(now))
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		if err := vacuumInto(ctx, s.w, path); err != nil {
			return "", err
		}
		made = path
	} else if err != nil {
		return "", err
	}
	return made, prune(folder, now)
}

// DailyName is the file of a day's copy.
func DailyName(day time.Time) string { return dailyPrefix + day.Format(time.DateOnly) + dailySuffix }

// Dailies gives the days that have a daily copy in folder, newest first.
func Dailies(folder string) ([]time.Time, error) {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var days []time.Time
	for _, e := range entries {
		middle, prefixed := strings.CutPrefix(e.Name(), dailyPrefix)
		middle, suffixed := strings.CutSuffix(middle, dailySuffix)
		if day, err := time.Parse(time.DateOnly, middle); err == nil && prefixed && suffixed {
			days = append(days, day)
		}
	}
	slices.SortFunc(days, func(a, b time.Time) int { return b.Compare(a) })
	return days, err
}

// prune works below folder only, whatever its links point at.
func prune(folder string, now time.Time) error {
	days, err := Dailies(folder)
	if err != nil {
		return err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return err
	}
	defer root.Close()
	today := now.Format(time.DateOnly)
	days = slices.DeleteFunc(days, func(d time.Time) bool { return d.Format(time.DateOnly) > today })
	for _, d := range spare(days) {
		if err := root.Remove(DailyName(d)); err != nil {
			return err
		}
	}
	return nil
}

// spare gives the days whose copies the rule does not keep; days come newest
// first.
func spare(days []time.Time) (out []time.Time) {
	weeks := 0
	var last [2]int
	for _, d := range days[min(daysKept, len(days)):] {
		year, week := d.ISOWeek()
		if last == [2]int{year, week} || weeks == weeksKept {
			out = append(out, d)
			continue
		}
		last = [2]int{year, week}
		weeks++
	}
	return out
}
