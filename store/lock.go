//go:build unix

package store

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall"

	"ovenward/store/record"
)

// lock takes the file for this program; closing it, or the program's end in any
// way, gives it free. The file holds the process number for the message.
func lock(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		f.Close()
		return nil, taken(path)
	}
	if err == nil {
		err = errors.Join(f.Truncate(0), write(f, fmt.Sprintln(os.Getpid())))
	}
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("lock %s: %w", path, err)
	}
	return f, nil
}

func write(f *os.File, s string) error {
	_, err := f.WriteAt([]byte(s), 0)
	return err
}

func taken(path string) error {
	return refuse(record.ErrTaken,
		"another ovenward (process %s) already uses the database %s; stop it first, or give another folder",
		holder(path), strings.TrimSuffix(path, ".lock"))
}

func holder(path string) string {
	pid, _ := os.ReadFile(path) // only for messages
	return strings.TrimSpace(string(pid))
}

// User tells which process uses the database at path, "" for none.
func User(path string) string {
	f, err := os.Open(path + ".lock")
	if err != nil {
		return ""
	}
	defer f.Close()
	if syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB) == nil {
		return ""
	}
	return holder(path + ".lock")
}
