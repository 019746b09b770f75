//go:build linux || darwin || freebsd

package main

import "syscall"

// writable tells why we may not write to a file or folder, nil if we may.
func writable(path string) error {
	const forWriting = 2 // W_OK of access(2)
	return syscall.Access(path, forWriting)
}

// free is how many bytes a folder's disk still takes from us.
func free(folder string) (int64, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(folder, &s); err != nil {
		return 0, err
	}
	return int64(s.Bavail) * int64(s.Bsize), nil
}
