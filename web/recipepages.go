package web

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"mime/multipart"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/recipe"
	"ovenward/web/view"
)

func (s *server) importRecipePage(w http.ResponseWriter, r *http.Request) error {
	return s.showRecipe(w, r, http.StatusOK, view.RecipeModel{})
}

func (s *server) showRecipe(w http.ResponseWriter, r *http.Request, status int, m view.RecipeModel) error {
	p := s.page(r, "Import a recipe")
	p.Tab = "breads"
	return render(w, r, status, view.RecipePage(p, m))
}

// importRecipe reads a recipe with the answers given so far. It asks until nothing
// is open, then saves the bread. The recipe comes along every time; nothing is
// kept in between.
func (s *server) importRecipe(w http.ResponseWriter, r *http.Request) error {
	text, err := recipeForm(r)
	if err != nil {
		return err
	}
	f := view.Form{Values: r.PostForm}
	f.Values.Set("recipe", text)
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	which := forgetOther(f.Values)
	d, err := recipe.Read([]byte(text), l, which)
	if err != nil {
		f.Faults = []view.FieldFault{{Field: "recipe", What: view.Sentence(err.Error())}}
		if strings.TrimSpace(text) == "" {
			f.Faults[0].What = "There is nothing to read; paste a recipe or choose a file."
		}
		return s.showRecipe(w, r, http.StatusUnprocessableEntity, view.RecipeModel{Form: f})
	}
	asked := recipeModel(d, l) // before the answers, so that a field stays when it is filled in
	f.Faults = answers(&f, d, l)
	save := f.Values.Get("do") == "save"
	if save && len(f.Faults) == 0 {
		f.Faults = openFaults(d)
	}
	if !save || len(f.Faults) > 0 {
		m := recipeModel(d, l)
		m.Form, m.Asked = f, asked.Lines
		m.AskPieces = asked.AskPieces
		status := http.StatusOK
		if len(f.Faults) > 0 {
			status = http.StatusUnprocessableEntity
		}
		return s.showRecipe(w, r, status, m)
	}
	b, err := d.Bread()
	if err != nil {
		m := recipeModel(d, l)
		f.Faults = []view.FieldFault{{Field: "lines", What: view.Sentence(err.Error() + "; say below which ingredient is the flour")}}
		m.Form, m.Asked, m.AskPieces, m.AskAll = f, asked.Lines, asked.AskPieces, true
		return s.showRecipe(w, r, http.StatusUnprocessableEntity, m)
	}
	return s.takeRecipe(w, r, b)
}

// forgetOther gives which recipe of the document is wanted; where it is another than
// the one answered for, those answers go.
func forgetOther(form url.Values) int {
	which, err := strconv.Atoi(form.Get("which"))
	if err != nil {
		return 0
	}
	if form.Get("answered") != form.Get("which") {
		for field := range form {
			if field == "name" || field == "pieces" || strings.HasPrefix(field, "lines[") {
				form.Del(field)
			}
		}
		form.Del("do") // what was asked for was another
	}
	return which
}

// takeRecipe saves a bread made from a recipe, or shows it for mending.
func (s *server) takeRecipe(w http.ResponseWriter, r *http.Request, b schedule.Bread) error {
	b.ID = s.slug(r, true, b.Name)
	faults, err := s.breadFaults(r, b)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		r.SetPathValue("id", "new")
		return s.showBread(w, r, http.StatusUnprocessableEntity, view.Form{Values: encode(&b), Faults: onPage(faults, "/breads/"+b.ID), New: true})
	}
	if err := s.store.SaveBread(r.Context(), b); err != nil {
		return err
	}
	return seeOther(w, r, "/breads/"+b.ID+s.notices.keep([]string{b.Name + " is saved. Look over its method: rises and times are proposals."}))
}

// recipeForm reads the form and gives the recipe: of the file, if one was chosen.
func recipeForm(r *http.Request) (string, error) {
	if err := r.ParseMultipartForm(2 * maxBody); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return "", tooLargeOr(err)
	}
	if r.MultipartForm != nil {
		for _, h := range r.MultipartForm.File["file"] {
			if h.Size > 0 {
				return contents(h)
			}
		}
	}
	return r.PostForm.Get("recipe"), nil
}

func contents(h *multipart.FileHeader) (string, error) {
	f, err := h.Open()
	if err != nil {
		return "", err
	}
	defer f.Close()
	var b bytes.Buffer
	_, err = b.ReadFrom(f)
	return b.String(), err
}

// answers gives the draft what was answered, and says which answers are none.
func answers(f *view.Form, d *recipe.Draft, l dough.Library) []view.FieldFault {
	in := decoder{in: f.Values}
	if name := strings.TrimSpace(f.Values.Get("name")); name != "" && len(name) <= 200 {
		d.Name = name
	} else if name != "" {
		in.fault("name", "The name is too long; give one of at most 200 letters.")
	}
	if text := strings.TrimSpace(f.Values.Get("pieces")); text != "" {
		n := in.whole("pieces", text)
		if d.Pieces = n; n < 1 || n > 10000 {
			d.Pieces = 0
			in.fault("pieces", "“%s” pieces cannot be; give 1 to 10000.", text)
		}
	}
	for i := range d.Lines {
		if a, ok := in.answer(i, d.Lines[i].Name, l); ok {
			d.Answer(i, a)
		}
	}
	return in.faults
}

// heaviest is more than any ingredient of a recipe weighs.
const heaviest = 1e6 // grams

func (d *decoder) answer(i int, name string, l dough.Library) (a recipe.Answer, ok bool) {
	at := func(field string) (path, value string) {
		path = fmt.Sprintf("lines[%d].%s", i, field)
		return path, strings.TrimSpace(d.in.Get(path))
	}
	path, food := at("food")
	switch food {
	case "":
	case view.OwnInDough, view.OwnApart:
		role := dough.Other
		if food == view.OwnApart {
			role = dough.Inclusion
		}
		a.Own = &dough.Food{ID: slugOf(name, fmt.Sprintf("food-%d", i+1)), Name: name, Role: role}
	default:
		if _, known := l.Find(food); !known {
			d.fault(path, "“%s” is none of the foods; choose one.", food)
			break
		}
		a.Food = food
	}
	if path, grams := at("grams"); grams != "" {
		g := d.number(path, grams)
		if a.Grams = unit.Grams(g); g <= 0 || g > heaviest || math.IsNaN(g) {
			a.Grams = 0
			d.fault(path, "“%s” g cannot be; give what it weighs, 0.1 to 1000000.", grams)
		}
	}
	_, use := at("use")
	a.InDough, a.Leave = use == "in", use == "out"
	return a, a != recipe.Answer{}
}

// openFaults turns what is still asked into faults of the fields to answer in.
func openFaults(d *recipe.Draft) []view.FieldFault {
	var out []view.FieldFault
	unused := -1 // a line that may not be in the dough is asked nothing else yet
	for _, q := range d.Questions() {
		if q.Kind == recipe.AskUse {
			unused = q.Line
		} else if q.Line >= 0 && q.Line == unused {
			continue
		}
		field, of := "pieces", d.Yield
		if q.Line >= 0 {
			field, of = fmt.Sprintf("lines[%d].%s", q.Line, view.AnswerField(string(q.Kind))), d.Lines[q.Line].Text
		}
		out = append(out, view.FieldFault{Field: field, What: view.OpenQuestion(string(q.Kind), of)})
	}
	return out
}

// recipeModel is a draft for the screen.
func recipeModel(d *recipe.Draft, l dough.Library) view.RecipeModel {
	m := view.RecipeModel{Read: true, Recipes: d.All, Which: d.Which, Foods: l, Name: d.Name, Yield: d.Yield, Pieces: d.Pieces}
	for _, q := range d.Questions() {
		m.AskPieces = m.AskPieces || q.Kind == recipe.AskPieces
	}
	for _, l := range d.Lines {
		line := view.RecipeLine{Text: l.Text, Group: l.Group, Name: l.Name, Food: l.Food, Basis: l.Basis}
		if l.Low == l.High {
			line.Grams = l.Low
		}
		for _, q := range l.Questions {
			line.Questions = append(line.Questions, view.RecipeQuestion{Kind: string(q.Kind), Readings: q.Readings})
		}
		m.Lines = append(m.Lines, line)
	}
	for _, x := range d.Warnings {
		m.Warnings = append(m.Warnings, view.RecipeWarning(string(x.Code), x.Of))
	}
	for _, x := range d.Instructions {
		m.Sections = append(m.Sections, view.RecipeSection{Name: x.Name, Steps: x.Steps})
	}
	return m
}

// recipeFile is a bread for other programs.
func (s *server) recipeFile(w http.ResponseWriter, r *http.Request) error {
	b, err := s.store.Bread(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	out := recipe.Recipe{Bread: &b, Foods: l, Pieces: max(1, b.PerTray), Words: s.words(r).Step}
	if n, err := strconv.Atoi(r.URL.Query().Get("pieces")); err == nil && n > 0 && n <= 10000 {
		out.Pieces = n
	}
	if b.Base != "" {
		base, err := s.store.Base(r.Context(), b.Base)
		if err != nil {
			return err
		}
		out.Base = &base
	}
	var data bytes.Buffer
	if err := recipe.Write(&data, out); err != nil {
		return err
	}
	return download(w, "application/ld+json", b.ID+".json", data.Bytes())
}
