package web

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"ovenward/store/record"
	"ovenward/web/entry"
	"ovenward/web/view"
)

const (
	loginPath  = "/login"
	logoutPath = "/logout"
)

// sessionLasts is after how long everybody has to come in anew.
const sessionLasts = 30 * 24 * time.Hour

// loginPage asks for the passphrase or a code.
func (s *server) loginPage(w http.ResponseWriter, r *http.Request) error {
	to := inside(r.URL.Query().Get("to"))
	if visitorOf(r).Role != "" {
		return seeOther(w, r, to)
	}
	return s.askAgain(w, r, http.StatusOK, to, "")
}

func (s *server) askAgain(w http.ResponseWriter, r *http.Request, status int, to, wrong string) error {
	return render(w, r, status, view.LoginPage(s.bare(r, "Log in"), view.Login{To: to, Wrong: wrong, Plain: r.TLS == nil}))
}

// logIn lets in who knows the passphrase or a code. Which of the two was wrong,
// and how, is not said.
func (s *server) logIn(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f, now, client := r.PostForm, s.now(), clientOf(r)
	to := inside(f.Get("to"))
	if wait := s.door.throttle.Try(client, now); wait > 0 {
		s.log.WarnContext(r.Context(), "log-in refused: too many tries", "client", client)
		w.Header().Set("Retry-After", strconv.Itoa(int(wait.Seconds())+1))
		return s.askAgain(w, r, http.StatusTooManyRequests, to, "That was tried too often. Wait "+view.Wait(wait)+", then try again.")
	}
	role, err := s.door.admit(r.Context(), s.store, f, now)
	if err != nil {
		return err
	}
	if role == "" {
		s.log.WarnContext(r.Context(), "log-in refused", "client", client)
		return s.askAgain(w, r, http.StatusUnauthorized, to, "That is not right.")
	}
	s.door.throttle.Succeeded(client)
	token := rand.Text() // of 130 bits
	b := record.Session{Role: role, Name: device(r.UserAgent()), Began: now, Ends: now.Add(sessionLasts)}
	id, err := s.store.BeginSession(r.Context(), token, b)
	if err != nil {
		return err
	}
	if err := s.end(r, visitorOf(r).ID); err != nil { // no session goes on under another role
		return err
	}
	s.log.InfoContext(r.Context(), "logged in", "client", client, "session", id, "role", role, "device", b.Name)
	setToken(w, r, token, int(sessionLasts.Seconds()))
	return seeOther(w, r, to)
}

// admit gives the role of who knows what was typed, "" for nobody's.
func (d *door) admit(ctx context.Context, st Store, f url.Values, now time.Time) (record.Role, error) {
	if f.Get("by") == "code" {
		role, _ := d.codes.Use(f.Get("code"), now)
		return record.Role(role), nil
	}
	hash, err := st.Passphrase(ctx)
	if err != nil || hash == "" {
		return "", err
	}
	d.hashing.Lock()
	defer d.hashing.Unlock()
	if ok, err := entry.Matches(hash, f.Get("passphrase")); err != nil || !ok {
		return "", err
	}
	return record.Baker, nil
}

// logOut ends the session of this browser.
func (s *server) logOut(w http.ResponseWriter, r *http.Request) error {
	v := visitorOf(r)
	if err := s.end(r, v.ID); err != nil {
		return err
	}
	setToken(w, r, "", -1)
	return seeOther(w, r, loginPath)
}

// end ends a session and what it has under way, 0 for none.
func (s *server) end(r *http.Request, session int64) error {
	if session == 0 {
		return nil
	}
	err := s.store.EndSession(context.WithoutCancel(r.Context()), session)
	if err == nil {
		s.log.InfoContext(r.Context(), "session ended", "client", clientOf(r), "session", session)
		s.door.evict(session)
	}
	return err
}

// tokenName is the cookie's. Over TLS the browser itself holds it to this host.
func tokenName(r *http.Request) string {
	if r.TLS != nil {
		return "__Host-entry"
	}
	return "entry"
}

func tokenOf(r *http.Request) string {
	c, err := r.Cookie(tokenName(r))
	if errors.Is(err, http.ErrNoCookie) {
		return ""
	}
	return c.Value
}

func setToken(w http.ResponseWriter, r *http.Request, token string, seconds int) {
	http.SetCookie(w, &http.Cookie{
		Name: tokenName(r), Value: token, Path: "/", MaxAge: seconds,
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
}

// page addresses of ours hold nothing but these.
var ours = regexp.MustCompile(`^/(?:[a-z0-9-]+/?)*$`)

// inside gives an address within the program, so that no link can lead a log-in
// elsewhere.
func inside(to string) string {
	if !ours.MatchString(to) || to == loginPath {
		return "/"
	}
	return to
}

func loginAt(to string) string {
	if to = inside(to); to == "/" {
		return loginPath
	}
	return loginPath + "?to=" + url.QueryEscape(to)
}

// bare is a page for who has not come in: nothing of the house.
func (s *server) bare(r *http.Request, title string) view.Page {
	return view.Page{Title: title, Assets: s.assets.prefix, Theme: theme(r), Path: r.URL.Path, Now: s.now()}
}

func outside(p view.Page) templ.Component {
	return view.OutsidePage(p, errOutside.Next, errOutside.Link)
}

// device names a browser by what it says of itself, in words of ours only.
func device(agent string) string {
	name, on := "A browser", ""
	for _, k := range []struct{ has, is string }{{"Firefox/", "Firefox"}, {"Edg", "Edge"}, {"OPR/", "Opera"}, {"SamsungBrowser/", "Samsung browser"}, {"Chrome/", "Chrome"}, {"Safari/", "Safari"}} {
		if strings.Contains(agent, k.has) {
			name = k.is
			break
		}
	}
	for _, k := range []string{"iPhone", "iPad", "Android", "Windows", "Macintosh", "CrOS", "Linux"} {
		if strings.Contains(agent, k) {
			on = " on " + k
			break
		}
	}
	return name + on
}
