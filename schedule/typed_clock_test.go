package schedule_test

import (
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
)

// How times of day are typed: common practice, no source; what each means is
// checked against package time where that can read it.
func TestTypedClock(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"05:40": "05:40", "5:40": "05:40", "0540": "05:40", "540": "05:40", "5.40": "05:40", "5,40": "05:40", "17h30": "17:30", "17H30": "17:30",
		"17 h 30": "17:30", " 6 : 05 ": "06:05", "7": "07:00", "07": "07:00", "17h": "17:00", "17 h": "17:00", "0": "00:00", "000": "00:00", "0000": "00:00",
		"24:00": "24:00", "2400": "24:00", "24": "24:00", "23:59": "23:59",
		"": "", "25": "", "24:01": "", "12:60": "", "1260": "", "5:4": "", "5:400": "", "05400": "", "-5:40": "", "+5": "", "noon": "", "5:40pm": "", "5::40": "",
		"h30": "", ":30": "", "5:": "", "1e3": "", "٠٥:٤٠": "", "5:40:00": "",
	} {
		c, err := schedule.TypedClock(text)
		switch {
		case (err == nil) != (want != ""):
			t.Errorf("%q: %v, %v, want %q", text, c, err, want)
		case err == nil && c.String() != want:
			t.Errorf("%q is %v, want %s", text, c, want)
		case err != nil && text != "" && !strings.Contains(err.Error(), "“"+text+"”"):
			t.Errorf("%q: %v does not say what was typed", text, err)
		}
		for _, layout := range []string{"15:04", "15.04", "1504"} {
			if at, err := time.Parse(layout, text); err == nil && c.String() != at.Format("15:04") {
				t.Errorf("%q is %v, package time reads %s", text, c, at.Format("15:04"))
			}
		}
	}
}

// Whatever is typed, what is taken is a time of a day, and reads as itself.
func FuzzTypedClock(f *testing.F) {
	for _, s := range []string{"5:40", "0540", "17h30", "24:00", "", "7", "99:99", "１２:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := schedule.TypedClock(s)
		if err != nil {
			return
		}
		if c < 0 || c > 24*60 {
			t.Fatalf("%q is %d minutes", s, c)
		}
		strict, err := schedule.ParseClock(c.String())
		again, err2 := schedule.TypedClock(c.String())
		if err != nil || err2 != nil || strict != c || again != c {
			t.Fatalf("%q is %v, read again %v (%v) and %v (%v)", s, c, strict, err, again, err2)
		}
	})
}
