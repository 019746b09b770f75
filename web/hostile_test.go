package web_test

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/store/bundle"
	"ovenward/testdata"
	"ovenward/web/webtest"
)

const markup = `<script>alert(1)</script><img src=x onerror=alert(2)>"'`

// hostile are files nobody means well with; format is what the file says it is.
func hostile(format string) map[string]string {
	head := `{"format": "` + format + `", `
	return map[string]string{
		"a megabyte of brackets": strings.Repeat("[", 1<<20-100),
		"a megabyte of objects":  strings.Repeat(`{"a":`, (1<<20-100)/5),
		"deep in its place":      head + `"breads": ` + strings.Repeat("[", 100_000) + strings.Repeat("]", 100_000) + "}",
		"a megabyte of text":     head + `"name": "` + strings.Repeat("<b>", 300_000) + `"`,
		"a megabyte of zeros":    head + `"name": 1` + strings.Repeat("0", 1<<19) + "}",
		"wrong types":            head + `"name": 5, "kitchen": "big", "breads": {"a": 1}, "bases": 7, "days": "all", "orders": true, "settings": [1], "made": []}`,
		"huge numbers":           head + `"kitchen": {"tub_grams": 1e400, "flour_celsius": -1e308}, "breads": [{"id": "x", "piece_grams": 9e999}]}`,
		"markup for names":       head + `"` + strings.ReplaceAll(markup, `"`, `\"`) + `": 1, "zone": "` + strings.ReplaceAll(markup, `"`, `\"`) + `"}`,
		"not UTF-8":              head + "\"name\": \"\xff\xfe\x80\"}",
		"a zero byte":            head + "\"name\": \"a\x00b\"}",
		"doubled":                head + `"format": "` + format + `", "format": "other"}`,
		"two files":              head + `"name": "a"}` + head + `"name": "b"}`,
		"another program's":      `{"format": "` + markupless(format) + `", "recipes": []}`,
		"half":                   string(testdata.Example[:len(testdata.Example)/2]),
		"a picture":              "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
		"null":                   "null",
		"a list":                 "[1, 2, 3]",
	}
}

func markupless(format string) string { return strings.Split(format, "/")[0] + "/999" }

// all is everything remembered.
func (s *site) all() *bundle.Bundle {
	s.t.Helper()
	var file bytes.Buffer
	if err := s.store.Export(s.t.Context(), &file, s.now); err != nil {
		s.t.Fatal(err)
	}
	b, err := bundle.Decode("", file.Bytes())
	if err != nil {
		s.t.Fatal(err)
	}
	return b
}

// Nothing of a hostile file is stored or run, and whoever sent it is told what is
// wrong, in words, shortly.
func TestHostileFiles(t *testing.T) {
	t.Parallel()
	s := example(t)
	before := s.all()
	judge := func(what string, status int, body string) {
		t.Helper()
		if status < 400 || status >= 500 {
			t.Errorf("%s: %d", what, status)
		}
		if len(body) > 100_000 && !strings.HasPrefix(what, "recipe") { // there what was sent stays in the form
			t.Errorf("%s: an answer of %d bytes", what, len(body))
		}
		if strings.Contains(body, "<script>alert") || strings.Contains(body, "<img src=x") {
			t.Errorf("%s: markup comes back as markup", what)
		}
	}
	for name, file := range hostile(bundle.Format) {
		w := s.upload("/inout", "file", []byte(file), nil)
		body := w.Body.String()
		judge("import, "+name, w.Code, body)
		if text := webtest.Parse(t, w.Body).Text(nil); !strings.Contains(text, "There is a problem") {
			t.Errorf("import, %s: says %.300s", name, text)
		}
	}
	for name, file := range hostile("schema.org/Recipe") {
		w := s.upload("/breads/import", "file", []byte(file), nil)
		if w.Code == http.StatusOK { // plain text may be a recipe, of which it is asked what it means
			w.Code = http.StatusUnprocessableEntity
		}
		judge("recipe, "+name, w.Code, w.Body.String())
	}
	for name, file := range hostile("ovenward-day/1") {
		w := s.api(ask{"POST", "/api/plan", file, nil})
		judge("day file, "+name, w.Code, w.Body.String())
		if !strings.Contains(w.Body.String(), `"remedy"`) {
			t.Errorf("day file, %s: says %.300s", name, w.Body)
		}
	}
	if diff := cmp.Diff(before, s.all(), cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("something is stored:\n%s", diff)
	}
}

// What is well formed and full of markup is taken in as text, and shown as text
// on every page.
func TestMarkupComesInAsText(t *testing.T) {
	t.Parallel()
	s := example(t)
	var file bytes.Buffer
	if err := bundle.Encode(&file, s.all()); err != nil {
		t.Fatal(err)
	}
	in, err := bundle.Decode("", file.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	for i := range in.Breads {
		in.Breads[i].Name = fmt.Sprint(markup, i)
	}
	for i := range in.Bases {
		in.Bases[i].Name = fmt.Sprint(markup, i)
	}
	d := &in.Days[0]
	d.Name = markup
	for i := range d.Orders {
		d.Orders[i].For = markup
	}
	p := &d.Plans[len(d.Plans)-1]
	p.Plan.Day, p.From.Name = markup, markup
	for i := range p.Plan.Tasks {
		p.Plan.Tasks[i].Name, p.Plan.Tasks[i].Label = markup, markup
	}
	for i := range p.Plan.Batches {
		p.Plan.Batches[i].Name = markup
	}
	in.Settings = append(in.Settings, bundle.Setting{Key: "words", Value: markup})
	file.Reset()
	if err := bundle.Encode(&file, in); err != nil {
		t.Fatal(err)
	}
	w := s.upload("/inout", "file", file.Bytes(), nil)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
	preview := w.Body.String()
	form := webtest.Parse(t, strings.NewReader(preview)).Form("/inout/take")
	form.Set("do", "replace")
	s.sent("/inout/take", form)
	seen := preview
	days, err := s.store.Days(t.Context())
	if err != nil || len(days) != 1 {
		t.Fatalf("%d days, %v", len(days), err)
	}
	day := fmt.Sprintf("/days/%d", days[0].ID)
	for _, at := range append(paths(), "/inout", "/programs", "/api", "/days/1/labels", "/days/1/ways", "/days/1/foot.css") {
		at = strings.Replace(at, "/days/1", day, 1)
		w := s.get(at)
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d", at, w.Code)
		}
		seen += w.Body.String()
		if body := w.Body.String(); strings.Contains(body, "<script>alert") || strings.Contains(body, "<img src=x") {
			t.Errorf("%s: markup is shown as markup", at)
		}
	}
	if !strings.Contains(seen, "&lt;script&gt;alert(1)") {
		t.Error("it was nowhere to be seen: the test tests nothing")
	}
	if csv := s.get(day + "/day.csv").Body.String(); !strings.Contains(csv, "<script>") { // text there
		t.Error("the table file lacks it")
	}
}
