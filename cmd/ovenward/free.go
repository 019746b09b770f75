//go:build linux || darwin || freebsd

package main

import "syscall"

// free is how many bytes a folder's disk still takes from us.
func free(folder string) (int64, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(folder, &s); err != nil {
		return 0, err
	}
	return int64(s.Bavail) * int64(s.Bsize), nil
}
