package web

import (
	"bytes"
	"net/http"

	"github.com/a-h/templ"

	"ovenward/store/record"
	"ovenward/web/view"
)

// handler is a page or an action; what it returns is logged and shown once, by
// [server.do].
type handler func(w http.ResponseWriter, r *http.Request) error

func (s *server) do(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.showError(w, r, err)
		}
	}
}

// render writes a whole page or nothing: a component that fails midway must not
// leave half a page.
func render(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	var b bytes.Buffer
	if err := c.Render(r.Context(), &b); err != nil {
		return err
	}
	page := b.Bytes()
	if visitorOf(r).Role == record.Helper {
		var err error
		if page, err = forHelper(page); err != nil {
			return err
		}
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(page)
	return nil
}

// seeOther sends the browser on after something was done.
func seeOther(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// page is the frame of a page: title, look, words.
func (s *server) page(r *http.Request, title string) view.Page {
	return view.Page{
		Title:  title,
		Assets: s.assets.prefix,
		Theme:  theme(r),
		Path:   r.URL.Path,
		Now:    s.now(),
		Words:  s.words(r),

		Damaged: s.damaged(),
	}
}

// words is the reader's choice between the trade's synonyms; a store that does
// not answer must not keep the error page from showing.
func (s *server) words(r *http.Request) view.Words {
	v, err := s.store.Setting(r.Context(), settingWords)
	if err != nil {
		s.log.WarnContext(r.Context(), "words not read", "err", err)
	}
	return view.ParseWords(v)
}
