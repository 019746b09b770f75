package web

import (
	"encoding/json"
	"net/http"
	"strings"

	"ovenward/web/live"
)

// The longest a screen's own names for itself may be.
const (
	mostScreenID   = 64
	mostScreenName = 40
)

// screen hears what a screen says of itself, whether it can ring, and answers
// with how all of them are.
func (s *server) screen(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := r.PostForm
	id := f.Get("id")
	if id == "" || len(id) > mostScreenID {
		return &Error{http.StatusUnprocessableEntity, "A screen needs a name of its own.", "Reload the page.", ""}
	}
	if f.Get("gone") != "" {
		s.screens.Leave(s.now(), id)
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	says := func(name string) bool { return f.Get(name) == "1" }
	a := s.screens.Report(s.now(), live.Screen{
		ID: id, Name: short(f.Get("name"), mostScreenName), Heard: short(f.Get("heard"), 3),
		Visible: says("visible"), Sound: says("sound"), Awake: says("awake"), Late: says("late"), Lost: says("lost"),
	})
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(a)
}

func short(s string, most int) string {
	letters := []rune(strings.Join(strings.Fields(s), " "))
	return string(letters[:min(len(letters), most)])
}

// worker serves the service worker from the top, where its address never
// changes.
func (s *server) worker(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", contentType("sw.js"))
	w.Header().Set("Cache-Control", "no-cache")
	_, err := w.Write(s.assets.files["sw.js"])
	return err
}

// icon is what a browser asks for of its own accord, where it has not yet read
// the page that names the icon.
func (s *server) icon(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, s.assets.prefix+"icon.svg", http.StatusFound)
}
