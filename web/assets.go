package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
)

// assets serves the static files under one hash of the whole tree, so that a
// page and the modules it loads always belong together and may be kept for ever.
type assets struct {
	prefix string // "/static/3f2a.../"
	tag    string // ETag
	files  map[string][]byte
}

// newAssets reads the tree; fs.WalkDir goes in lexical order, so the hash is
// the same for the same files.
func newAssets(fsys fs.FS) (*assets, error) {
	a := &assets{files: map[string][]byte{}}
	sum := sha256.New()
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) == ".go" {
			return err
		}
		b, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s %d\n", name, len(b))
		sum.Write(b)
		a.files[name] = b
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("static files: %w", err)
	}
	hash := hex.EncodeToString(sum.Sum(nil))[:16]
	a.prefix, a.tag = "/static/"+hash+"/", `"`+hash+`"`
	return a, nil
}

// ServeHTTP answers only under the current hash: an old page asking for old
// scripts gets 404 and reloads, never a mixture.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name, ok := strings.CutPrefix(r.URL.Path, a.prefix)
	body, found := a.files[name]
	if !ok || !found {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("ETag", a.tag)
	h.Set("Content-Type", contentType(name))
	if r.Header.Get("If-None-Match") == a.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	w.Write(body)
}

// contentType does not trust the machine's own table, which may lack or
// redefine these.
func contentType(name string) string {
	switch path.Ext(name) {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".wav":
		return "audio/wav"
	case ".svg":
		return "image/svg+xml"
	case ".webmanifest":
		return "application/manifest+json"
	}
	if t := mime.TypeByExtension(path.Ext(name)); t != "" {
		return t
	}
	return "application/octet-stream"
}
