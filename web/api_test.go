package web_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"ovenward/store/record"
	"ovenward/testdata"
)

// ask is what a program sends.
type ask struct {
	method, path, body string
	header             map[string]string
}

func (s *site) api(a ask) *httptest.ResponseRecorder {
	r := httptest.NewRequest(a.method, a.path, strings.NewReader(a.body))
	if a.body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for k, v := range a.header {
		r.Header.Set(k, v)
	}
	return s.do(r)
}

// valid holds an answer to a published schema by an independent reading of JSON
// Schema 2020-12.
func valid(t *testing.T, schema string, w *httptest.ResponseRecorder) {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(w.Body.Bytes()))
	if err != nil {
		t.Fatalf("%d: %v\n%.300s", w.Code, err, w.Body)
	}
	sch, err := jsonschema.NewCompiler().Compile("../testdata/schema/" + schema + "-1.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := sch.Validate(v); err != nil {
		t.Error(err)
	}
}

func TestAPIReads(t *testing.T) {
	t.Parallel()
	s := example(t)
	valid(t, "day", s.api(ask{"GET", "/api/days/1", "", nil}))
	w := s.api(ask{"GET", "/api/days/1/plan", "", nil})
	valid(t, "plan", w)
	if w.Header().Get("Ovenward-Plan-Version") != "1" || w.Header().Get("Content-Type") != "application/json" {
		t.Errorf("%v", w.Header())
	}
	var days struct {
		Days  []map[string]any
		Total int
	}
	if err := json.Unmarshal(s.api(ask{"GET", "/api/days", "", nil}).Body.Bytes(), &days); err != nil || days.Total != 1 || days.Days[0]["id"] != 1.0 || days.Days[0]["orders"] != 5.0 || days.Days[0]["rehearsal"] != true {
		t.Errorf("%+v, %v", days, err)
	}
	var breads struct{ Bases, Breads []map[string]any }
	if err := json.Unmarshal(s.api(ask{"GET", "/api/breads?q=bun", "", nil}).Body.Bytes(), &breads); err != nil || len(breads.Breads) != 2 || len(breads.Bases) != 1 {
		t.Errorf("%+v, %v", breads, err)
	}
}

// Every example of the page works as it stands when the page is shown; the splitting of words is the shell's,
// for single quotation marks (POSIX.1-2017, XCU 2.2.2).
func TestAPIExamples(t *testing.T) {
	t.Parallel()
	s := example(t)
	word := regexp.MustCompile(`'[^']*'|[^\s']+`)
	kept := map[string]string{}
	done := 0
	for i := range s.page("/api").All("pre") {
		page := s.page("/api")
		pre := page.All("pre")[i]
		var args []string
		for _, w := range word.FindAllString(page.Text(pre), -1) {
			args = append(args, strings.Trim(w, "'"))
		}
		a, file := ask{method: "GET", header: map[string]string{}}, ""
		for i := 1; i < len(args); i++ {
			switch args[i] {
			case "-H":
				i++
				name, value, _ := strings.Cut(args[i], ": ")
				a.header[name] = value
			case "-d", "--data-binary":
				i++
				a.method, a.body = "POST", args[i]
				if name, ok := strings.CutPrefix(args[i], "@"); ok {
					a.body = kept[name]
				}
			case "-o":
				i++
				file = args[i]
			case "-i":
			default:
				u, err := url.Parse(args[i])
				if err != nil || u.Host == "" {
					t.Fatalf("%q is no address", args[i])
				}
				a.path = u.RequestURI()
			}
		}
		if a.header["Authorization"] != "" {
			continue // a key is made up
		}
		w := s.api(a)
		if w.Code/100 != 2 {
			t.Errorf("%s answers %d: %s", args, w.Code, w.Body)
		}
		kept[file] = w.Body.String()
		done++
	}
	if done != 7 {
		t.Errorf("%d examples, want one of each request", done)
	}
	if d, err := s.store.DayRecord(t.Context(), s.id); err != nil || len(d.Orders) != 6 {
		t.Errorf("the order is not there: %v, %v", d.Orders, err)
	}
}

// A day file sent to be planned comes back as a plan file; nothing is stored.
func TestAPIPlansWithoutStoring(t *testing.T) {
	t.Parallel()
	s := empty(t)
	valid(t, "plan", s.api(ask{"POST", "/api/plan", string(testdata.Example), nil}))
	days, _ := s.store.Days(t.Context())
	breads, _ := s.store.Breads(t.Context())
	if len(days)+len(breads) != 0 {
		t.Errorf("%d days and %d breads are stored", len(days), len(breads))
	}
}

// An order sent twice under one key is taken once; one that cannot be planned
// changes nothing.
func TestAPIOrder(t *testing.T) {
	t.Parallel()
	s := example(t)
	orders := func() int {
		d, err := s.store.DayRecord(t.Context(), s.id)
		if err != nil {
			t.Fatal(err)
		}
		return len(d.Orders)
	}
	again := map[string]string{"Idempotency-Key": "order-1"}
	for range 2 {
		w := s.api(ask{"POST", "/api/days/1/orders", `{"bread": "slipway", "pieces": 2, "out_by": "2026-11-28T12:30"}`, again})
		if w.Code != http.StatusCreated {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		valid(t, "plan", w)
		if orders() != 6 || w.Header().Get("Ovenward-Plan-Version") != "2" {
			t.Errorf("%d orders, plan %s", orders(), w.Header().Get("Ovenward-Plan-Version"))
		}
	}
	for body, want := range map[string]string{
		`{"bread": "none", "pieces": 2, "out_by": "2026-11-28T12:30"}`:      `"where":"bread"`,
		`{"bread": "slipway", "pieces": "2", "out_by": "2026-11-28T12:30"}`: `"where":"pieces","what":"a string stands here","remedy":"give a whole number"`,
		`{"bread": "slipway", "pieces": 2, "out_by": "28.11.2026 9:00"}`:    `"where":"out_by","what":"\"28.11.2026 9:00\" is not a date and time"`,
		`{"bred": "slipway"}`: `"where":"bred","what":"there is no field \"bred\" here"`,
		`{"bread": "slipway", "pieces": -2, "out_by": "2026-11-28T12:30"}`:                  `"where":"pieces"`,
		`{"bread": "slipway", "pieces": 2, "out_by": "tomorrow"}`:                           "tomorrow",
		`{"bread": "slipway", "peices": 2}`:                                                 `there is no field \"peices\" here`,
		`{"bread": "slipway", "pieces": 1e99, "out_by": "2026-11-28T12:30"}`:                "a number 1e99 stands here",
		`{"bread": "slipway", "pieces": 2, "out_by": "2026-11-28T12:30"}{}`:                 "more after the end",
		strings.Repeat("[", 10_000):                                                         "this is not the JSON that belongs here",
		`null, "` + strings.Repeat("x", 1000) + `"`:                                         "more after the end",
		`{"bread": "<script>alert(1)</script>", "pieces": 2, "out_by": "2026-11-28T12:30"}`: `\u003cscript\u003e`,
	} {
		w := s.api(ask{"POST", "/api/days/1/orders", body, map[string]string{"Idempotency-Key": "bad" + body[:min(8, len(body))]}})
		if w.Code < 400 || w.Code >= 500 || w.Header().Get("Content-Type") != "application/problem+json" || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%.60s: %d %s", body, w.Code, w.Body)
		}
		if orders() != 6 {
			t.Fatalf("%.60s is kept", body)
		}
	}
}

func TestAPITap(t *testing.T) {
	t.Parallel()
	s := example(t)
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	body := `{"version": 1, "task": "` + plan.Plan.Tasks[0].ID + `", "kind": "ack"}`
	for _, want := range []string{`"stored": true`, `"stored": false`} {
		if w := s.api(ask{"POST", "/api/days/1/taps", body, map[string]string{"Idempotency-Key": "tap-1"}}); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%d %s, want %s", w.Code, w.Body, want)
		}
	}
	for body, status := range map[string]int{
		`{"version": 7, "task": "A.2", "kind": "ack"}`:                    http.StatusConflict,
		`{"version": 1, "task": "A.2", "kind": "explode"}`:                http.StatusUnprocessableEntity,
		`{"version": 1, "task": "A.2", "kind": "not-yet", "minutes": -1}`: http.StatusUnprocessableEntity,
		`{"version": 1, "task": "nowhere", "kind": "done"}`:               http.StatusUnprocessableEntity,
	} {
		if w := s.api(ask{"POST", "/api/days/1/taps", body, map[string]string{"Idempotency-Key": "tap-" + body}}); w.Code != status && w.Code != http.StatusBadRequest {
			t.Errorf("%s: %d %s", body, w.Code, w.Body)
		}
	}
	if all, _ := s.store.Taps(t.Context(), s.id); len(all) != 1 || all[0].Kind != record.Ack {
		t.Errorf("%+v", all)
	}
}

// Whatever goes wrong is said as RFC 9457 has it: the media type, a title, the
// status of the answer.
func TestAPIProblems(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, tt := range []struct {
		ask
		status int
		says   string
	}{
		{ask{"GET", "/api/days/99", "", nil}, 404, "this day"},
		{ask{"GET", "/api/nothing", "", nil}, 404, "nothing is to be had here"},
		{ask{"PUT", "/api/days/1", "{}", nil}, 404, "nothing is to be had here"},
		{ask{"POST", "/api/days/1/orders", "{}", nil}, 400, "Idempotency-Key"},
		{ask{"POST", "/api/plan", "{}", map[string]string{"Content-Type": "text/plain"}}, 415, "application/json"},
		{ask{"POST", "/api/plan", "{", nil}, 422, `"line":1`},
		{ask{"POST", "/api/plan", `{"format": "ovenward-day/1", "nome": "x"}`, nil}, 422, `"where":"nome"`},
		{ask{"POST", "/api/plan", `"` + strings.Repeat("x", 2<<20) + `"`, nil}, 413, "more than any form"},
		{ask{"GET", "/api/days", "", map[string]string{"Authorization": "Bearer WRONG"}}, 401, "opens nothing"},
	} {
		w := s.api(tt.ask)
		var p struct {
			Title  string
			Status int
		}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != tt.status || p.Status != tt.status || p.Title == "" || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s %s: %d %v %.200s", tt.method, tt.path, w.Code, err, w.Body)
		}
		if !strings.Contains(strings.ToLower(w.Body.String()), strings.ToLower(tt.says)) {
			t.Errorf("%s %s does not say %q: %.300s", tt.method, tt.path, tt.says, w.Body)
		}
	}
	r := httptest.NewRequest("POST", "/api/plan", bytes.NewReader(testdata.Example))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if w := s.do(r); w.Code != http.StatusForbidden {
		t.Errorf("a foreign page: %d", w.Code)
	}
}

// From another machine a key lets a program in, until it is ended; the calendar's
// secret and a browser's word do not.
func TestAPIKey(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	key, feed := s.letIn("till", "data"), path(t, s.letIn("phone", "calendar"))
	from := func(header string) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", "/api/days", nil)
		r.Host, r.RemoteAddr = "bakery.lan", "192.168.1.9:1234"
		if header != "" {
			r.Header.Set("Authorization", header)
		}
		return s.do(r)
	}
	for header, want := range map[string]int{
		"": 401, "Bearer " + key: 200, "Bearer " + strings.TrimSuffix(strings.TrimPrefix(feed, "/feed/"), ".ics"): 401, "Basic " + key: 401, "Bearer ": 401,
	} {
		if w := from(header); w.Code != want || want == 401 && w.Header().Get("WWW-Authenticate") != "Bearer" {
			t.Errorf("%q: %d %s", header, w.Code, w.Body)
		}
	}
	r := httptest.NewRequest("GET", "/days/1", nil)
	r.Host, r.RemoteAddr = "bakery.lan", "192.168.1.9:1234"
	r.Header.Set("Authorization", "Bearer "+key)
	if w := s.do(r); w.Code != http.StatusSeeOther {
		t.Errorf("a page, by key: %d", w.Code)
	}
	if w := here(s, http.MethodPost, "/programs/1/end", nil); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	if w := from("Bearer " + key); w.Code != http.StatusUnauthorized {
		t.Errorf("ended: %d", w.Code)
	}
}
