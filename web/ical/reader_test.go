package ical_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/web/ical"
)

// readIt prints what a JavaScript parser makes of a calendar.
const readIt = `
import fs from 'node:fs';
const {default: ICAL} = await import('file://' + process.argv[2]);
ICAL.design.strict = true;
const cal = new ICAL.Component(ICAL.parse(fs.readFileSync(0, 'utf8')));
console.log(JSON.stringify({
  name: cal.getFirstPropertyValue('name'),
  refresh: cal.getFirstPropertyValue('refresh-interval').toSeconds(),
  events: cal.getAllSubcomponents('vevent').map(v => {
    const e = new ICAL.Event(v), alarm = v.getFirstSubcomponent('valarm');
    return {
      uid: e.uid, title: e.summary, text: e.description, where: e.location ?? '', sequence: e.sequence,
      start: e.startDate.toJSDate().toISOString(), end: e.endDate.toJSDate().toISOString(),
      dough: v.getFirstPropertyValue('categories') ?? '', status: v.getFirstPropertyValue('status'),
      alarm: alarm ? alarm.getFirstPropertyValue('trigger').toSeconds() : null,
    };
  }),
}));`

// A reader we did not write, ical.js 2.2.1 (npm, MPL-2.0), understands every
// event as it was meant. ICAL_JS is the path of its package's dist/ical.js.
func TestIndependentReader(t *testing.T) {
	t.Parallel()
	lib, err := filepath.Abs(os.Getenv("ICAL_JS"))
	if os.Getenv("ICAL_JS") == "" || err != nil {
		t.Skip("ICAL_JS is not set: npm pack ical.js@2.2.1, unpack it, and set ICAL_JS to package/dist/ical.js")
	}
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed")
	}
	type event struct {
		UID, Title, Text, Where, Start, End, Dough, Status string
		Sequence                                           int
		Alarm                                              *float64
	}
	var got struct {
		Name    string
		Refresh float64
		Events  []event
	}
	c := calendar(sample(t))
	c.Name = "Sunday" + strings.Repeat(" Brötchen 🥖", 20) // as the reader has no type for NAME, nothing to escape
	c.Days[0].Before, c.Waits = planned(t), true
	var file bytes.Buffer
	if err := ical.Write(&file, c); err != nil {
		t.Fatal(err)
	}
	script := filepath.Join(t.TempDir(), "read.mjs")
	if err := os.WriteFile(script, []byte(readIt), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), node, script, lib)
	cmd.Stdin = bytes.NewReader(file.Bytes())
	cmd.Stderr = t.Output()
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	if got.Name != c.Name || got.Refresh != 900 {
		t.Errorf("name %q, refresh %v s", got.Name, got.Refresh)
	}
	entries := ical.Entries(c.Days[0].Plan, true)
	if len(got.Events) <= len(entries) {
		t.Fatalf("%d events read, of which %d should be planned and some cancelled", len(got.Events), len(entries))
	}
	for i, e := range got.Events {
		if i >= len(entries) {
			if e.Status != "CANCELLED" || e.Alarm != nil {
				t.Errorf("%s is %s", e.UID, e.Status)
			}
			continue
		}
		w := entries[i]
		words := c.Days[0].Words(w)
		if !strings.HasPrefix(e.Text, words.Text) {
			t.Errorf("%q does not begin with %q", e.Text, words.Text)
		}
		want := event{UID: e.UID, Title: words.Title, Text: e.Text, Where: words.Where, Sequence: 3, Dough: w.Task.Name, Status: "CONFIRMED",
			Start: w.From.UTC().Format("2006-01-02T15:04:05.000Z"), End: w.To.UTC().Format("2006-01-02T15:04:05.000Z")}
		if w.Part != ical.Wait {
			want.Alarm = new(float64)
		}
		if diff := cmp.Diff(want, e); diff != "" {
			t.Errorf("-want +got:\n%s", diff)
		}
	}
}
