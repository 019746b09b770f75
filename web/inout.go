package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"sync"
	"time"

	"ovenward/schedule/dayfile"
	"ovenward/store/bundle"
	"ovenward/web/view"
)

// archive gives and takes everything that is remembered.
type archive interface {
	Export(ctx context.Context, now time.Time) (*bundle.Bundle, error)
	Import(ctx context.Context, b *bundle.Bundle, replace bool, now time.Time) (backup string, err error)
}

// atInout is where everything goes out and comes in. Nothing else may be as large
// as what comes in there.
const atInout = "/inout"

// arrival is the bundle last looked at and not yet taken in. A file cannot be put
// into a form again, so it waits here; losing it costs another upload.
type arrival struct {
	mu  sync.Mutex
	key string
	in  *bundle.Bundle
}

func (a *arrival) wait(b *bundle.Bundle) (key string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.key, a.in = newKey(), b
	return a.key
}

// claim gives the bundle waiting under a key, once; nil if there is none.
func (a *arrival) claim(key string) *bundle.Bundle {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.in == nil || key != a.key {
		return nil
	}
	b := a.in
	a.key, a.in = "", nil
	return b
}

func (s *server) inoutPage(w http.ResponseWriter, r *http.Request) error {
	return s.showInout(w, r, http.StatusOK, view.Form{})
}

func (s *server) showInout(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	p := s.page(r, "Export and import")
	p.Tab = "settings"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, status, view.InoutPage(p, f))
}

// exportFile is everything in one file.
func (s *server) exportFile(w http.ResponseWriter, r *http.Request) error {
	all, err := s.store.Export(r.Context(), s.now())
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := bundle.Encode(&b, all); err != nil {
		return err
	}
	return download(w, "application/json", "ovenward.json", b.Bytes())
}

// previewImport reads a file and shows what taking it in would change. Nothing is
// stored.
func (s *server) previewImport(w http.ResponseWriter, r *http.Request) error {
	data, err := upload(r, "file")
	if err != nil {
		return err
	}
	in, err := bundle.Decode("", data)
	if faults, ok := errors.AsType[dayfile.Errors](err); ok {
		f := view.Form{}
		for _, e := range faults {
			f.Faults = append(f.Faults, view.FieldFault{Field: "file", What: view.FileFault(e.Line, e.Column, e.Path, e.What, e.Remedy)})
		}
		if len(data) == 0 {
			f.Faults = []view.FieldFault{{Field: "file", What: "No file is chosen, or it is empty. Choose one that was exported here."}}
		}
		return s.showInout(w, r, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	here, err := s.store.Export(r.Context(), s.now())
	if err != nil {
		return err
	}
	change, err := bundle.Compare(here, in)
	if err != nil {
		return err
	}
	p := s.page(r, "Before the import")
	p.Tab = "settings"
	var mend []string
	for _, x := range in.Faults() {
		mend = append(mend, view.Sentence(x.Where+": "+x.What+"; "+x.Remedy))
	}
	return render(w, r, http.StatusOK, view.ImportPage(p, in.Made, view.Arrivals(change), mend, s.arrival.wait(in)))
}

// takeImport takes in what was looked at.
func (s *server) takeImport(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	do := r.PostForm.Get("do")
	if do != "merge" && do != "replace" {
		return badForm(nil)
	}
	in := s.arrival.claim(r.PostForm.Get("key"))
	if in == nil {
		return &Error{http.StatusConflict, "This import has been done already, or was looked at too long ago.", "If it is not there yet, choose the file again.", atInout}
	}
	backup, err := s.store.Import(r.Context(), in, do == "replace", s.now())
	if err != nil {
		return err
	}
	s.traces.clear() // plans of the same day and version may be others now
	s.hub.Publish("resync", "")
	return seeOther(w, r, atInout+s.notices.keep([]string{view.Imported(do == "replace"), view.BackupAt(backup)}))
}

// upload is the file of a form, empty if none is chosen. It is held in memory and
// never written to the disk.
func upload(r *http.Request, field string) ([]byte, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, badForm(err)
	}
	for {
		part, err := parts.NextPart()
		switch {
		case errors.Is(err, io.EOF):
			return nil, nil
		case err != nil:
			return nil, tooLargeOr(err)
		case part.FormName() == field:
			data, err := io.ReadAll(part)
			if err != nil {
				return nil, tooLargeOr(err)
			}
			return data, nil
		}
	}
}

func tooLargeOr(err error) error {
	if large, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return large
	}
	return badForm(err)
}
