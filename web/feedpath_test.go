package web_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// A secret is looked up, never followed: whatever path stands for one, nothing but
// a refusal comes back, and the true one still opens its calendar.
func TestFeedTraversal(t *testing.T) {
	t.Parallel()
	s := coming(t)
	secret := path(t, s.letIn("phone", "calendar"))
	srv := httptest.NewServer(s.h)
	t.Cleanup(srv.Close)
	at := srv.Listener.Addr().String()
	get := func(path string) (status, answer string) {
		answer = raw(t, at, "GET "+path+" HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
		return strings.SplitN(answer, " ", 3)[1], answer
	}
	dir := secret[:strings.LastIndex(secret, "/")+1]
	for _, name := range []string{
		"..", "../days", "../ovenward.db", "..%2fdays.ics", "%2e%2e/days.ics", "..%2f..%2fovenward.db.ics", "..\\ovenward.db.ics", "%2fetc%2fpasswd.ics",
		".ics", "%00.ics", "*.ics", "'%20OR%201=1--.ics", strings.TrimPrefix(secret, dir) + "/../../days", "x/" + strings.TrimPrefix(secret, dir),
	} {
		if status, answer := get(dir + name); status != "404" && status != "400" && status != "429" || strings.Contains(answer, "VCALENDAR") || strings.Contains(answer, "root:") {
			t.Errorf("%s: %.200s", name, answer)
		}
	}
	if w := s.get(secret); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "BEGIN:VCALENDAR") {
		t.Errorf("the true one: %d %.100s", w.Code, w.Body)
	}
}
