package web

import (
	"net/http"
	"time"

	"ovenward/web/view"
)

const (
	settingWords = "words"
	cookieTheme  = "theme"
)

// theme is what this browser chose: a phone at the bench may be dark while the
// desk is light, so it lies in a cookie and not in the store.
func theme(r *http.Request) string {
	if c, err := r.Cookie(cookieTheme); err == nil && (c.Value == "day" || c.Value == "night") {
		return c.Value
	}
	return ""
}

func (s *server) settingsPage(w http.ResponseWriter, r *http.Request) error {
	p := s.page(r, "Settings")
	p.Tab = "settings"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	f, err := s.benchForm(r)
	if err != nil {
		return err
	}
	return s.showSettings(w, r, http.StatusOK, p, f)
}

func (s *server) showSettings(w http.ResponseWriter, r *http.Request, status int, p view.Page, f view.Form) error {
	d, err := s.devices(r)
	if err != nil {
		return err
	}
	return render(w, r, status, view.SettingsPage(p, f, d))
}

func (s *server) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	faults, err := s.saveBench(r)
	if err != nil {
		return err
	}
	f := r.PostForm
	words := view.Words{Proof: f.Get("prove") == "proof", Punch: f.Get("knock") == "punch", Pan: f.Get("tin") == "pan"}
	if len(faults) > 0 {
		p := s.page(r, "Settings")
		p.Tab, p.Words, p.Theme = "settings", words, f.Get("theme")
		return s.showSettings(w, r, http.StatusUnprocessableEntity, p, view.Form{Values: f, Faults: faults})
	}
	if err := s.store.SetSetting(r.Context(), settingWords, words.String()); err != nil {
		return err
	}
	http.SetCookie(w, &http.Cookie{
		Name: cookieTheme, Value: f.Get("theme"), Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode,
		MaxAge: int((400 * 24 * time.Hour).Seconds()),
	})
	return seeOther(w, r, "/settings"+s.notices.keep([]string{"Saved."}))
}
