//go:build !(linux || darwin || freebsd)

package main

import "errors"

func writable(string) error { return nil }

func free(string) (int64, error) { return 0, errors.ErrUnsupported }
