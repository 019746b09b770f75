package web

import (
	"context"
	"errors"
	"io"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"ovenward/schedule/dayfile"
	"ovenward/store/bundle"
	"ovenward/web/live"
	"ovenward/web/view"
)

// archive gives and takes everything that is remembered.
type archive interface {
	Export(ctx context.Context, w io.Writer, now time.Time) error
	Digest(ctx context.Context) (*bundle.Digest, error)
	Import(ctx context.Context, b *bundle.Arrival, replace bool, now time.Time) (backup string, err error)
}

// atInout is where everything goes out and comes in. Nothing else may be as large
// as what comes in there.
const atInout = "/inout"

// arrival is the file last looked at and not yet taken in. A file cannot be put into
// a form again, so it waits here; losing it costs another upload.
type arrival struct {
	mu  sync.Mutex
	key string
	in  *bundle.Arrival
}

func (a *arrival) wait(in *bundle.Arrival) (key string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.key, a.in = newKey(), in
	return a.key
}

// claim gives what waits under a key, once; nil if nothing does.
func (a *arrival) claim(key string) (in *bundle.Arrival) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.in == nil || key != a.key {
		return nil
	}
	in = a.in
	a.key, a.in = "", nil
	return in
}

// unhurried is how long everything may take to come or go over a slow network,
// 128 MiB at two megabits a second.
const unhurried = 10 * time.Minute

// slowly gives a request that much time where the server would give less.
func slowly(w http.ResponseWriter) error {
	rc, end := http.NewResponseController(w), time.Now().Add(unhurried)
	for _, err := range []error{rc.SetReadDeadline(end), rc.SetWriteDeadline(end)} {
		if err != nil && !errors.Is(err, http.ErrNotSupported) {
			return err
		}
	}
	return nil
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

// exportFile is everything in one file. Nothing is sent before all of it could be
// read, and no slow network keeps the database from tidying up; most browsers take
// it as packed as it waits.
func (s *server) exportFile(w http.ResponseWriter, r *http.Request) error {
	packed, err := bundle.Pack(func(z io.Writer) error { return s.store.Export(r.Context(), z, s.now()) })
	if err != nil {
		return err
	}
	if err := slowly(w); err != nil {
		return err
	}
	attachment(w, "application/json", "ovenward.json")
	w.Header().Set("Vary", "Accept-Encoding")
	if unpacks(r) {
		w.Header().Set("Content-Encoding", "gzip")
		w.Write(packed) // fails when the browser is gone
		return nil
	}
	all, err := packed.Open()
	if err != nil {
		return err
	}
	defer all.Close()
	io.Copy(w, all)
	return nil
}

// unpacks reports whether a browser takes gzip without giving it a weight (RFC 9110,
// 12.5.3).
func unpacks(r *http.Request) bool {
	return slices.ContainsFunc(strings.Split(r.Header.Get("Accept-Encoding"), ","), func(s string) bool { return strings.TrimSpace(s) == "gzip" })
}

var errLarge = &Error{http.StatusRequestEntityTooLarge, "That is more than the 128 MiB an export may have.", view.Sentence(bundle.TooLarge), atInout}

// previewImport reads a file and shows what taking it in would change. Nothing is
// stored.
func (s *server) previewImport(w http.ResponseWriter, r *http.Request) error {
	if r.ContentLength > bundle.Largest+maxBody {
		return errLarge
	}
	if err := slowly(w); err != nil {
		return err
	}
	packed, size, err := packUpload(r)
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		return errLarge
	}
	if err != nil {
		return err
	}
	in, err := bundle.Read("", packed.Open)
	if faults, ok := errors.AsType[dayfile.Errors](err); ok {
		f := view.Form{}
		for _, e := range faults {
			f.Faults = append(f.Faults, view.FieldFault{Field: "file", What: view.FileFault(e.Line, e.Column, e.Path, e.What, e.Remedy)})
		}
		if size == 0 {
			f.Faults = []view.FieldFault{{Field: "file", What: "No file is chosen, or it is empty. Choose one that was exported here."}}
		}
		return s.showInout(w, r, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	here, err := s.store.Digest(r.Context())
	if err != nil {
		return err
	}
	p := s.page(r, "Before the import")
	p.Tab = "settings"
	var mend []string
	for _, x := range in.Faults() {
		mend = append(mend, view.Sentence(x.Where+": "+x.What+"; "+x.Remedy))
	}
	return render(w, r, http.StatusOK, view.ImportPage(p, in.Made, view.Arrivals(bundle.Compare(here, in.Digest)), mend, s.arrival.wait(in)))
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
	s.hub.Publish(live.Resync{Reason: "changed"})
	return seeOther(w, r, atInout+s.notices.keep([]string{view.Imported(do == "replace"), view.BackupAt(backup)}))
}

// packUpload is the file of the form, packed as it comes in, and its size. It is
// held in memory and never written to the disk.
func packUpload(r *http.Request) (packed bundle.Packed, size int64, err error) {
	file, err := uploaded(r, "file")
	if err != nil {
		return nil, 0, err
	}
	packed, err = bundle.Pack(func(z io.Writer) (err error) {
		size, err = io.Copy(z, file)
		return err
	})
	if err != nil {
		err = tooLargeOr(err)
	}
	return packed, size, err
}

// uploaded is the file of a form on its way in, empty if none is chosen.
func uploaded(r *http.Request, field string) (io.Reader, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, badForm(err)
	}
	for {
		part, err := parts.NextPart()
		switch {
		case errors.Is(err, io.EOF):
			return http.NoBody, nil
		case err != nil:
			return nil, tooLargeOr(err)
		case part.FormName() == field:
			return part, nil
		}
	}
}

func tooLargeOr(err error) error {
	if large, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return large
	}
	return badForm(err)
}
