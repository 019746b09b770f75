package e2e_test

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sync"
	"syscall"
	"testing"
)

// binary builds the program once.
var binary = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "ovenward-e2e")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "ovenward")
	cmd := exec.Command("go", "build", "-buildvcs=false", "-o", path, "ovenward/cmd/ovenward")
	cmd.Stderr = os.Stderr
	return path, cmd.Run()
})

// serve starts the program on an empty folder, so that it shows the example, and
// ends it with the test. It gives the address.
func serve(t *testing.T) string {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, "-addr", "127.0.0.1:0", "-data", t.TempDir())
	cmd.Env = append(os.Environ(), "TZ=Europe/Dublin")
	cmd.Stderr = t.Output()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
			t.Error(err)
		}
		if err := cmd.Wait(); err != nil {
			t.Errorf("the program ended with %v", err)
		}
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	address := regexp.MustCompile(`http://[^ ]+`).FindString(line)
	if address == "" {
		t.Fatalf("it said %q, %v", line, err)
	}
	return address
}
