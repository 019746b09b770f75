package dayfile_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/schedule/dayfile"
)

// A file of nothing but faults is refused with the first of them, not with a
// line for each: counting lines anew for every fault took minutes.
func TestTellsOfAHundredFaultsAtMost(t *testing.T) {
	t.Parallel()
	hostile := `{"format":"ovenward-day/1"` + strings.Repeat(",\n\"x\":1", 200_000) + "}"
	_, err := dayfile.DecodeDay("hostile.json", []byte(hostile))
	var all dayfile.Errors
	if !errors.As(err, &all) {
		t.Fatalf("got %v, want faults", err)
	}
	if len(all) != 100 {
		t.Errorf("told of %d faults, want 100", len(all))
	}
}
