package ical_test

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/web/ical"
)

var now = time.Date(2026, 10, 24, 15, 30, 0, 0, time.UTC)

var dublin = sync.OnceValues(func() (*time.Location, error) { return time.LoadLocation("Europe/Dublin") })

// clock gives an instant of the sample's Sunday in Dublin, on which clocks go
// back at 02:00.
func clock(t testing.TB, day int, hhmm string) time.Time {
	t.Helper()
	loc, err := dublin()
	if err != nil {
		t.Fatal(err)
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", fmt.Sprintf("2026-10-%d %s", day, hhmm), loc)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// sample is one invented dough over the night clocks go back.
func sample(t testing.TB) *schedule.Plan {
	at := func(day int, hhmm string) time.Time { return clock(t, day, hhmm) }
	task := func(id string, kind schedule.StageKind, from, to time.Time, hands ...schedule.Hands) schedule.Task {
		return schedule.Task{ID: id, Kind: kind, Name: "Hafermilch; süß, weich", Start: from, End: to, Hands: hands}
	}
	orla := func(from, to time.Time) schedule.Hands { return schedule.Hands{Baker: "Orla", From: from, To: to} }
	p := &schedule.Plan{Format: schedule.PlanFormat, Day: "Sunday", Zone: "Europe/Dublin", Made: now, Tasks: []schedule.Task{
		task("A.0", schedule.Mix, at(24, "22:00"), at(24, "22:12"), orla(at(24, "22:00"), at(24, "22:02"))),
		task("A.1", schedule.Rise, at(24, "22:12"), at(25, "05:00")),
		task("A1.2", schedule.Shape, at(25, "05:00"), at(25, "05:20"), orla(at(25, "05:00"), at(25, "05:20"))),
		task("O1", schedule.Preheat, at(25, "05:40"), at(25, "06:20")),
		task("A1.4", schedule.Bake, at(25, "06:20"), at(25, "06:50"), orla(at(25, "06:20"), at(25, "06:22")), orla(at(25, "06:50"), at(25, "06:52"))),
	}}
	p.Tasks[3].Name, p.Tasks[3].Oven, p.Tasks[4].Oven = "", "Deck", "Deck; deck 1: 6 × Tin, large"
	return p
}

func calendar(p *schedule.Plan) ical.Calendar {
	return ical.Calendar{Name: "Sunday", Install: "0d5c2f", Days: []ical.Day{{
		ID: 7, Version: 3, Saved: now, Plan: p,
		Words: func(e ical.Entry) ical.Words {
			return ical.Words{Title: strings.TrimSpace(fmt.Sprintf("%s: %s %s", e.Part, e.Task.Kind, e.Task.Name)), Text: e.Baker, Where: e.Task.Oven}
		},
	}}}
}

func write(t testing.TB, c ical.Calendar) *component {
	t.Helper()
	var b bytes.Buffer
	if err := ical.Write(&b, c); err != nil {
		t.Fatal(err)
	}
	return parse(t, b.String())
}

func TestEntries(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		waits bool
		want  []string
	}{
		"hands": {false, []string{"work mix 21:00 2", "work shape 05:00 20", "heat preheat 05:40 40", "load bake 06:20 2", "unload bake 06:50 2"}},
		"all": {true, []string{"work mix 21:00 2", "wait rise 21:12 468", "work shape 05:00 20", "heat preheat 05:40 40",
			"wait bake 06:20 30", "load bake 06:20 2", "unload bake 06:50 2"}},
	} {
		var got []string
		for _, e := range ical.Entries(sample(t), tt.waits) {
			got = append(got, fmt.Sprintf("%s %s %s %g", e.Part, e.Task.Kind, e.From.UTC().Format("15:04"), e.To.Sub(e.From).Minutes()))
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

// What RFC 5545, 7986 and 9074 demand, rule by rule, of a planned day.
func TestRules(t *testing.T) {
	t.Parallel()
	c := calendar(planned(t))
	c.Waits = true
	cal := write(t, c)
	events := cal.all("VEVENT")
	if len(events) < 20 {
		t.Fatalf("%d events", len(events))
	}
	each := func(ok func(*component) bool) bool {
		for _, e := range events {
			if !ok(e) {
				return false
			}
		}
		return true
	}
	once := func(c *component, names ...string) bool {
		for _, n := range names {
			if c.count(n) != 1 {
				return false
			}
		}
		return true
	}
	form := func(names, pattern string) bool {
		re := regexp.MustCompile("^(?:" + pattern + ")$")
		return each(func(e *component) bool {
			for n := range strings.SplitSeq(names, " ") {
				if e.count(n) > 1 || e.count(n) == 1 && !re.MatchString(e.value(n)) {
					return false
				}
			}
			return true
		})
	}
	uids := map[string]bool{}
	for _, rule := range []struct {
		section, says string
		holds         bool
	}{
		{"5545 3.6", "VERSION and PRODID are required, once", once(cal, "VERSION", "PRODID")},
		{"5545 3.7.4", "VERSION is 2.0", cal.value("VERSION") == "2.0"},
		{"5545 3.7.1", "CALSCALE is GREGORIAN, METHOD at most once", cal.value("CALSCALE") == "GREGORIAN" && cal.count("METHOD") == 1},
		{"5546 3.2.1", "a published event carries no ATTENDEE", each(func(e *component) bool { return e.count("ATTENDEE") == 0 })},
		{"5545 3.6.1", "UID and DTSTAMP are required, DTSTART with them, once", each(func(e *component) bool {
			return once(e, "UID", "DTSTAMP", "DTSTART", "SEQUENCE", "LAST-MODIFIED", "SUMMARY")
		})},
		{"5545 3.6.1", "DTEND and DURATION exclude each other", each(func(e *component) bool { return e.count("DTEND")+e.count("DURATION") <= 1 })},
		{"5545 3.8.2.2", "DTEND is later than DTSTART", each(func(e *component) bool { return e.count("DTEND") == 0 || e.value("DTEND") > e.value("DTSTART") })},
		{"5545 3.3.5", "DATE-TIME in UTC, form 2", form("DTSTAMP DTSTART DTEND LAST-MODIFIED", `\d{8}T([01]\d|2[0-3])[0-5]\d[0-5]\dZ`)},
		{"5545 3.2.19", "no TZID with UTC", each(func(e *component) bool {
			for _, p := range e.props {
				if strings.Contains(p.params, "TZID") {
					return false
				}
			}
			return true
		})},
		{"5545 3.8.7.4", "SEQUENCE is a whole number", form("SEQUENCE", `\d+`)},
		{"5545 3.8.2.7", "TRANSP is OPAQUE or TRANSPARENT", form("TRANSP", `OPAQUE|TRANSPARENT`)},
		{"5545 3.8.1.11", "STATUS of an event", form("STATUS", `TENTATIVE|CONFIRMED|CANCELLED`)},
		{"5545 3.8.4.7", "UIDs are unique", each(func(e *component) bool {
			seen := uids[e.value("UID")]
			uids[e.value("UID")] = true
			return !seen
		})},
		{"5545 3.6.6", "a DISPLAY alarm has ACTION, DESCRIPTION and TRIGGER, once, and no REPEAT", each(func(e *component) bool {
			for _, a := range e.all("VALARM") {
				if !once(a, "ACTION", "DESCRIPTION", "TRIGGER") || a.value("ACTION") != "DISPLAY" || a.count("REPEAT") > 0 {
					return false
				}
			}
			return true
		})},
		{"5545 3.8.6.3", "TRIGGER is a DURATION from the start", each(func(e *component) bool {
			for _, a := range e.all("VALARM") {
				if a.value("TRIGGER") != "PT0S" {
					return false
				}
			}
			return true
		})},
		{"7986 5.1", "NAME", cal.value("NAME") == "Sunday"},
		{"7986 5.7", "REFRESH-INTERVAL has no default type: VALUE=DURATION", cal.count("REFRESH-INTERVAL") == 1 && cal.value("REFRESH-INTERVAL") == "PT15M" && refreshParams(cal) == "VALUE=DURATION"},
		{"9074 4", "an alarm has a UID of its own", each(func(e *component) bool {
			for _, a := range e.all("VALARM") {
				seen := uids[a.value("UID")]
				if uids[a.value("UID")] = true; a.value("UID") == "" || seen {
					return false
				}
			}
			return true
		})},
		{"5545 3.8.2.7", "hands take up time and call, waits do neither", each(func(e *component) bool {
			wait := strings.HasPrefix(e.value("SUMMARY"), "wait")
			heat := strings.HasPrefix(e.value("SUMMARY"), "heat")
			return (e.value("TRANSP") == "OPAQUE") == !(wait || heat) && (len(e.all("VALARM")) == 1) == !wait
		})},
	} {
		if !rule.holds {
			t.Errorf("RFC %s: %s", rule.section, rule.says)
		}
	}
}

func refreshParams(c *component) string {
	for _, p := range c.props {
		if p.name == "REFRESH-INTERVAL" {
			return p.params
		}
	}
	return ""
}

// planned is an invented day of the repository, planned.
func planned(t testing.TB) *schedule.Plan {
	t.Helper()
	data, err := os.ReadFile("../../testdata/day/three-breads-one-dough.json")
	if err != nil {
		t.Fatal(err)
	}
	d, err := dayfile.DecodeDay("day", data)
	if err != nil {
		t.Fatal(err)
	}
	p, err := schedule.PlanDay(t.Context(), d, schedule.Settings{Steps: 2000})
	if err != nil {
		t.Fatal(err)
	}
	return &p
}

// A plan made anew keeps the UID of every task it keeps, whenever that is now,
// and cancels for one version what it has dropped.
func TestReplan(t *testing.T) {
	t.Parallel()
	before, after := sample(t), sample(t)
	after.Tasks = after.Tasks[1:] // no mix any more
	for i := range after.Tasks {
		tk := &after.Tasks[i]
		tk.Start, tk.End = tk.Start.Add(time.Hour), tk.End.Add(time.Hour)
		for k := range tk.Hands {
			tk.Hands[k].From, tk.Hands[k].To = tk.Hands[k].From.Add(time.Hour), tk.Hands[k].To.Add(time.Hour)
		}
	}
	c := calendar(after)
	c.Days[0].Before, c.Days[0].Version = before, 4
	type line struct{ UID, Start, Status, Transp, Sequence string }
	var got []line
	for _, e := range write(t, c).all("VEVENT") {
		got = append(got, line{e.value("UID"), e.value("DTSTART"), e.value("STATUS"), e.value("TRANSP"), e.value("SEQUENCE")})
		if cancelled := e.value("STATUS") == "CANCELLED"; cancelled == (len(e.all("VALARM")) > 0) {
			t.Errorf("%s: %d alarms", e.value("UID"), len(e.all("VALARM")))
		}
	}
	want := []line{
		{"A1.2-1.7@0d5c2f", "20261025T060000Z", "CONFIRMED", "OPAQUE", "4"},
		{"O1.7@0d5c2f", "20261025T064000Z", "CONFIRMED", "TRANSPARENT", "4"},
		{"A1.4-1.7@0d5c2f", "20261025T072000Z", "CONFIRMED", "OPAQUE", "4"},
		{"A1.4-2.7@0d5c2f", "20261025T075000Z", "CONFIRMED", "OPAQUE", "4"},
		{"A.0-1.7@0d5c2f", "20261024T210000Z", "CANCELLED", "TRANSPARENT", "4"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// The text tells the time by the clock on the bakery's wall, in both of its
// offsets where clocks change in between.
func TestWallTime(t *testing.T) {
	t.Parallel()
	c := calendar(sample(t))
	c.Waits = true
	var got []string
	for _, e := range write(t, c).all("VEVENT")[:3] {
		got = append(got, unescape(t, e.value("DESCRIPTION")))
	}
	want := []string{
		"Orla\nSat 24 Oct 22:00–22:02 (Europe/Dublin)",
		"Sat 24 Oct 22:12 IST–Sun 25 Oct 05:00 GMT (Europe/Dublin)",
		"Orla\nSun 25 Oct 05:00–05:20 (Europe/Dublin)",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func TestUnknownZone(t *testing.T) {
	t.Parallel()
	p := sample(t)
	p.Zone = "Europe/Nowhere"
	if err := ical.Write(&bytes.Buffer{}, calendar(p)); err == nil {
		t.Error("no error for a zone that is not there")
	}
}

// Whatever people write comes back from unfolding (3.1) and unescaping (3.3.11)
// as they wrote it, but for line breaks, which become one kind, and other
// control characters, which may not be written.
func FuzzText(f *testing.F) {
	for _, s := range []string{
		"", "Brot", `back\slash; semi, comma: "colon"`, "line\nbreak\r\nand\rreturn", strings.Repeat("ü", 200), strings.Repeat("🥖", 60),
		"a" + strings.Repeat("€", 40), "\x00\x1b[2J\x7f", "\xff\xfe", "BEGIN:VEVENT\r\nEND:VCALENDAR", strings.Repeat(",", 300), "\t tab ", "\u2028",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p := sample(t)
		p.Tasks[0].Name = s
		c := calendar(p)
		c.Name = s
		c.Days[0].Words = func(ical.Entry) ical.Words { return ical.Words{Title: s, Text: s, Where: s} }
		cal := write(t, c)
		want := plain(s)
		e := cal.all("VEVENT")[0]
		got := []string{unescape(t, cal.value("NAME")), unescape(t, e.value("SUMMARY")), unescape(t, e.value("CATEGORIES"))}
		if diff := cmp.Diff([]string{want, want, want}, got); diff != "" {
			t.Errorf("-want +got:\n%s", diff)
		}
		if at := e.value("LOCATION"); want != "" && unescape(t, at) != want {
			t.Errorf("it is at %q", at)
		}
		if d := unescape(t, e.value("DESCRIPTION")); !strings.HasPrefix(d, want) {
			t.Errorf("%q does not begin with %q", d, want)
		}
	})
}

// plain is s as it can be written.
func plain(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	return strings.Map(func(c rune) rune {
		if c < ' ' && c != '\t' && c != '\n' || c == 0x7f {
			return -1
		}
		return c
	}, s)
}

// A feed has many days: their entries are told apart, and the same plans give the
// same bytes. One with none is still a calendar (5545 3.6: one component or more).
func TestManyDays(t *testing.T) {
	t.Parallel()
	c := calendar(sample(t))
	c.Days = append(c.Days, c.Days[0])
	c.Days[1].ID, c.Days[1].Version = 8, 1
	events := write(t, c).all("VEVENT")
	uids := map[string]string{}
	for _, e := range events {
		uids[e.value("UID")] = e.value("SEQUENCE")
	}
	if len(uids) != len(events) || uids["A.0-1.7@0d5c2f"] != "3" || uids["A.0-1.8@0d5c2f"] != "1" {
		t.Errorf("%d events, %v", len(events), uids)
	}
	c.Days = nil
	cal := write(t, c)
	if z := cal.all("VTIMEZONE"); len(z) != 1 || len(cal.all("VEVENT")) != 0 || z[0].value("TZID") != "Etc/UTC" {
		t.Errorf("without days: %+v", cal)
	}
}

func BenchmarkWrite(b *testing.B) {
	c := calendar(sample(b))
	b.ReportAllocs()
	for b.Loop() {
		if err := ical.Write(&bytes.Buffer{}, c); err != nil {
			b.Fatal(err)
		}
	}
}
