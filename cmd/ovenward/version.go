package main

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
)

// release is set when a release is built:
//
//	go build -ldflags "-X main.release=1.2.0" ./cmd/ovenward
var release = ""

// version prints which program this is.
func (p *program) version(_ context.Context, args []string) error {
	if _, err := p.parse(flags("version"), args); err != nil {
		return err
	}
	v := release
	if info, ok := debug.ReadBuildInfo(); ok && v == "" {
		v = info.Main.Version
	}
	if v == "" {
		v = "(devel)"
	}
	_, err := fmt.Fprintf(p.out, "ovenward %s, %s, %s/%s\n", v, runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}
