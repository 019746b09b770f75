package web

import (
	"net/http"
	"net/url"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/view"
)

// benchKeys are the settings of the bench sheet and the labels, by the names of
// their fields.
var benchKeys = []string{"warm-hand", "warm-mixer", "rules", "scale-step"}

// most mixing can warm a dough by, in K.
const mostWarming = 15

// benchSettings is what is set for the bench sheet; what cannot be read is the usual.
func (s *server) benchSettings(r *http.Request) (view.Bench, error) {
	f, err := s.benchForm(r)
	in := decoder{in: f.Values}
	return view.Bench{
		Hand:  unit.Kelvins(in.number("warm-hand", f.Values.Get("warm-hand"))),
		Mixer: unit.Kelvins(in.number("warm-mixer", f.Values.Get("warm-mixer"))),
		Rules: dough.Rules(f.Values.Get("rules")),
		Step:  unit.Grams(in.number("scale-step", f.Values.Get("scale-step"))),
	}, err
}

// benchForm is the settings as they are kept.
func (s *server) benchForm(r *http.Request) (view.Form, error) {
	f := view.Form{Values: url.Values{}}
	for _, k := range benchKeys {
		v, err := s.store.Setting(r.Context(), k)
		if err != nil {
			return f, err
		}
		f.Values.Set(k, v)
	}
	return f, nil
}

// saveBench keeps the settings, or says what is wrong with them.
func (s *server) saveBench(r *http.Request) ([]view.FieldFault, error) {
	in := decoder{in: r.PostForm}
	for _, k := range benchKeys[:2] {
		if x := in.number(k, strings.TrimSpace(r.PostForm.Get(k))); x < 0 || x > mostWarming {
			in.fault(k, "Mixing does not warm a dough by %g °C; give 0.1 to %d, or nothing for the usual.", x, mostWarming)
		}
	}
	if text := strings.TrimSpace(r.PostForm.Get("scale-step")); text != "" {
		in.within("scale-step", "The scale", leastStep, mostStep, "g")
	}
	if v := r.PostForm.Get("rules"); v != "" && v != string(dough.EU) && v != string(dough.US) {
		in.fault("rules", "“%s” is no list of allergens; choose one.", v)
	}
	for _, k := range benchKeys {
		if len(in.faults) > 0 {
			break
		}
		if err := s.store.SetSetting(r.Context(), k, strings.TrimSpace(r.PostForm.Get(k))); err != nil {
			return nil, err
		}
	}
	return in.faults, nil
}

// benchPage is a sheet of paper for each dough.
func (s *server) benchPage(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchSettings(r)
	if err != nil {
		return err
	}
	return s.planned(w, r, "sheet", "A sheet for each dough", func(p view.Page, m view.Picture) error {
		var err error
		if m.Traces, err = s.traces.of(p.Day.ID, p.Day.Version, m.Day, m.Plan); err != nil {
			return err
		}
		return render(w, r, http.StatusOK, view.BenchPage(p, m, b))
	})
}

// labelsPage is what goes beside each bread of the day.
func (s *server) labelsPage(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchSettings(r)
	if err != nil {
		return err
	}
	return s.planned(w, r, "labels", "Labels", func(p view.Page, m view.Picture) error {
		return render(w, r, http.StatusOK, view.LabelsPage(p, m, b))
	})
}
