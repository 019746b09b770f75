package dayfile_test

import (
	"testing"

	"ovenward/schedule/dayfile"
)

func TestDecodeHistoryRefuses(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"":                         "f:1:1: the file is empty; give one with something in it",
		"[]":                       "f:1:1: this is a list [ ] where a group { } belongs; write a group { }",
		"{} {}":                    "f:1:4: something follows after the end; a file holds one thing; take away the rest",
		"{\n\n \"steps\": 3}":      "f:3:11: steps: 3 is a number where a list [ ] belongs; write a list [ ]",
		"{\"piece\": {\"kg\": 2}}": `f:1:12: piece.kg: there is no field "kg" here; write "grams", in g; 2 kg is 2000 g`,
		`{"dough": {"yeast": 1, "salt": 2, "water": 60}, "start_celsius": 27, "piece": {"grams": 1000},
		  "steps": [{"celsius": 400, "until": 2}]}`: "f:2:27: steps[0].celsius: a place of 400 °C cannot be; give -40 to 300",
		`{"dough": {"yeast": 1, "salt": 2, "water": 60}, "start_celsius": 90, "piece": {"grams": 1000}, "steps": []}`: "" +
			"f:1:66: start_celsius: a dough of 90 °C cannot be mixed; give -5 to 60, such as 26\n" +
			"f:1:105: steps: there are none; give at least one place for some minutes",
	} {
		if _, err := dayfile.DecodeHistory("f", []byte(text)); err == nil || err.Error() != want {
			t.Errorf("%s:\ngot  %v\nwant %s", text, err, want)
		}
	}
}
