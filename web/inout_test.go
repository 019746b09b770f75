package web_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store/bundle"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// upload posts a form with a file.
func (s *site) upload(path, field string, file []byte, more url.Values) *httptest.ResponseRecorder {
	s.t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	for k := range more {
		if err := m.WriteField(k, more.Get(k)); err != nil {
			s.t.Fatal(err)
		}
	}
	if file != nil {
		p, err := m.CreateFormFile(field, `"><script>.json`)
		if err != nil {
			s.t.Fatal(err)
		}
		p.Write(file)
	}
	if err := m.Close(); err != nil {
		s.t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return s.do(r)
}

// What one kitchen downloads, another looks at and takes in.
func TestExportAndImport(t *testing.T) {
	here, there := example(t), empty(t)
	if err := here.store.Read(t.Context(), record.Reading{ID: "r", Place: "fridge", At: here.now, Minute: 480, Celsius: 5.5}); err != nil {
		t.Fatal(err)
	}
	w := here.get("/inout/ovenward.json")
	if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Disposition"), `"ovenward.json"`) {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	file := w.Body.Bytes()
	w = there.upload("/inout", "file", file, nil)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
	page := webtest.Parse(t, w.Body)
	if s := page.Text(nil); !strings.Contains(s, "Breads New: ") || !strings.Contains(s, "Temperatures read New: 2026-11-27 fridge 5.5 °C") || strings.Contains(s, "Replaced:") {
		t.Errorf("preview: %s", s)
	}
	if days, _ := there.store.Days(t.Context()); len(days) != 0 {
		t.Error("something is stored before anybody said so")
	}
	form := page.Form("/inout/take")
	form.Set("do", "merge")
	if s := there.sent("/inout/take", form).Text(nil); !strings.Contains(s, "is taken in") || !strings.Contains(s, "backup-before-import") {
		t.Errorf("afterwards: %s", s)
	}
	if !there.hub.heard(live.Resync{Reason: "changed"}) {
		t.Error("open pages are not told")
	}
	there.page("/days/1/sheet")
	again := there.get("/inout/ovenward.json").Body.Bytes()
	a, err1 := bundle.Decode("", file)
	b, err2 := bundle.Decode("", again)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	was, err1 := a.Digest()
	is, err2 := b.Digest()
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if change := bundle.Compare(was, is); len(change.Days.Same) != 1 || len(change.Breads.Same) != len(a.Breads) || len(change.Kitchen.Same) != 1 {
		t.Errorf("there is not what was here: %+v", change)
	}
	if w := there.post("/inout/take", form); w.Code != http.StatusConflict {
		t.Errorf("sent twice: %d", w.Code)
	}
}

// A browser that unpacks gets everything packed, and any other as it is.
func TestExportPacked(t *testing.T) {
	t.Parallel()
	s := example(t)
	plain := s.get("/inout/ovenward.json")
	for accept, packed := range map[string]bool{"gzip, deflate, br, zstd": true, "br , gzip": true, "br": false, "": false} {
		r := httptest.NewRequest(http.MethodGet, "/inout/ovenward.json", nil)
		r.Header.Set("Accept-Encoding", accept)
		w := s.do(r)
		var body io.Reader = w.Body
		if got := w.Header().Get("Content-Encoding") == "gzip"; got != packed {
			t.Errorf("%q: packed %v", accept, got)
		} else if got {
			z, err := gzip.NewReader(body)
			if err != nil {
				t.Fatal(err)
			}
			body = z
		}
		all, err := io.ReadAll(body)
		if err != nil || !bytes.Equal(all, plain.Body.Bytes()) {
			t.Errorf("%q: %d bytes, %v, want %d", accept, len(all), err, plain.Body.Len())
		}
	}
}

// Replacing takes away what is only here.
func TestImportReplaces(t *testing.T) {
	s := example(t)
	page := webtest.Parse(t, s.upload("/inout", "file", []byte(`{"format":"ovenward-bundle/1","settings":[{"key":"words","value":"proof punch pan"}]}`), nil).Body)
	if got := page.Text(nil); !strings.Contains(got, "Only here: ") {
		t.Errorf("preview: %s", got)
	}
	form := page.Form("/inout/take")
	form.Set("do", "replace")
	s.sent("/inout/take", form)
	if all, err := s.store.Breads(t.Context()); err != nil || len(all) != 0 {
		t.Errorf("%d breads, %v", len(all), err)
	}
}

// A file that is not right is refused with line and column, and nothing is
// stored. Markup in it is text.
func TestBadImports(t *testing.T) {
	s := example(t)
	before := s.get("/inout/ovenward.json").Body.String()
	const head = `{"format":"ovenward-bundle/1",` + "\n"
	for name, tt := range map[string]struct {
		file string
		want string
	}{
		"empty":        {"", "No file is chosen"},
		"not JSON":     {"<html>", "Line 1, column 1: "},
		"day file":     {`{"format":"ovenward-day/1"}`, "Line 1, column 2, format: this is no ovenward-bundle/1 file"},
		"cut off":      {head + `"breads":[{"id":"x"`, "the file ends too soon"},
		"deep":         {head + `"breads":` + strings.Repeat("[", 1<<20), "Line 2, column 11, breads[0]: a group { } belongs here"},
		"wide":         {head + `"days":[` + strings.Repeat("{},", 1<<18) + `{}]}`, "next to nothing in too many list entries"},
		"long text":    {head + `"settings":[{"key":"` + strings.Repeat("x", 1<<20) + `","value":""}]}`, "is set to nothing"},
		"loose":        {head + `"breads":[{"id":"<script>alert(1)</script>","base":"<img src=x onerror=alert(1)>"}]}`, `there is no base dough "<img src=x onerror=alert(1)>"`},
		"unknown":      {head + `"<script>alert(1)</script>":1}`, `there is no field "<script>alert(1)</script>" here`},
		"not UTF-8":    {head + "\"made\":\"\xff\"}", "this is not text in UTF-8"},
		"no more than": {strings.Repeat(" ", 2<<20), "the file is empty"},
	} {
		w := s.upload("/inout", "file", []byte(tt.file), nil)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d, want 422", name, w.Code)
		}
		page := webtest.Parse(t, w.Body)
		if got := page.Text(nil); !strings.Contains(got, "There is a problem") || !strings.Contains(got, tt.want) {
			t.Errorf("%s: %.300s does not say %q", name, got, tt.want)
		}
		if n := len(page.All("script")); n != 1 || len(page.All("img")) != 0 {
			t.Errorf("%s: markup of the file is markup of the page", name)
		}
	}
	if w := s.upload("/inout", "file", nil, nil); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no file: %d", w.Code)
	}
	if w := s.post("/inout", url.Values{"file": {"{}"}}); w.Code != http.StatusBadRequest {
		t.Errorf("no upload: %d", w.Code)
	}
	if w := s.post("/inout/take", url.Values{"key": {"guess"}, "do": {"replace"}}); w.Code != http.StatusConflict {
		t.Errorf("a guessed key: %d", w.Code)
	}
	if after := s.get("/inout/ovenward.json").Body.String(); after != before {
		t.Error("something was stored")
	}
}

// Names with markup are shown as they are written.
func TestImportNames(t *testing.T) {
	const evil = `"><script>alert('x')</script>`
	from := empty(t)
	if err := from.store.SaveBread(t.Context(), schedule.Bread{ID: "evil", Name: evil}); err != nil {
		t.Fatal(err)
	}
	w := empty(t).upload("/inout", "file", from.get("/inout/ovenward.json").Body.Bytes(), nil)
	page := webtest.Parse(t, w.Body)
	if !strings.Contains(page.Text(nil), evil) || len(page.All("script")) != 1 {
		t.Errorf("%d %s", w.Code, page.Text(nil))
	}
}

func TestUploadTooLarge(t *testing.T) {
	if testing.Short() {
		t.Skip("sends 130 MiB")
	}
	w := empty(t).upload("/inout", "file", make([]byte, bundle.Largest+(2<<20)), nil)
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("%d, want 413", w.Code)
	}
}

// Everything may take longer to come in than the server gives any other request,
// which it cuts short. A slow machine needs more time to begin with an answer.
func TestSlowImport(t *testing.T) {
	t.Parallel()
	for limit := 100 * time.Millisecond; ; limit *= 4 {
		all, other := slowly(t, "/inout", limit), slowly(t, "/breads/import", limit)
		if other == http.StatusOK {
			t.Errorf("what comes within %v is taken in after more", limit)
		}
		if all == http.StatusOK {
			return
		}
		if limit > 10*time.Second {
			t.Fatalf("everything is answered %d", all)
		}
	}
}

// slowly gives the answer to a file that comes in over five times the limit of the
// server, 0 for none.
func slowly(t *testing.T, path string, limit time.Duration) int {
	t.Helper()
	srv := httptest.NewUnstartedServer(empty(t).h)
	srv.Config.ReadTimeout, srv.Config.WriteTimeout = limit, limit
	srv.Start()
	defer srv.Close()
	body, slow := io.Pipe()
	m := multipart.NewWriter(slow)
	go func() {
		p, err := m.CreateFormFile("file", "all.json")
		if err == nil {
			_, err = io.WriteString(p, `{"format":"ovenward-bundle/1",`)
		}
		time.Sleep(5 * limit) // what a slow network does
		if err == nil {
			_, err = io.WriteString(p, `"days":[]}`)
		}
		slow.CloseWithError(errors.Join(err, m.Close()))
	}()
	res, err := http.Post(srv.URL+path, m.FormDataContentType(), body)
	if err != nil {
		return 0
	}
	defer res.Body.Close()
	return res.StatusCode
}

// More than can be taken in is refused with another way.
func TestImportTooLarge(t *testing.T) {
	t.Parallel()
	s := empty(t)
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	m.Close()
	r := httptest.NewRequest(http.MethodPost, "/inout", &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.ContentLength = bundle.Largest + 2<<20
	if w := s.do(r); w.Code != http.StatusRequestEntityTooLarge || !strings.Contains(w.Body.String(), "ovenward backup FILE here") {
		t.Errorf("%d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
}
