package web

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode/utf8"

	"ovenward/store/record"
	"ovenward/web/view"
)

// pageful is how many entries of a list stand on one page.
const pageful = 50

// longestFind bounds what a name is looked for by.
const longestFind = 100

// paging reads which part of a list is asked for; what makes no sense is the
// beginning.
func paging(r *http.Request, at, label string) view.Paging {
	q := r.URL.Query()
	skip, err := strconv.Atoi(q.Get("from"))
	if err != nil || skip < 0 || skip > 1e6 {
		skip = 0
	}
	text := strings.TrimSpace(q.Get("q"))
	if len(text) > longestFind || !utf8.ValidString(text) {
		text = ""
	}
	return view.Paging{Find: record.Find{Text: text, Skip: skip, Most: pageful}, At: at, Label: label}
}

// knowBreads puts IDs where names of breads were typed into a form.
func (s *server) knowBreads(ctx context.Context, v url.Values) error {
	names, err := s.store.BreadNames(ctx)
	if err != nil {
		return err
	}
	for k := range v {
		if k == "bread" || strings.HasSuffix(k, ".bread") {
			v.Set(k, view.BreadOf(names, strings.TrimSpace(v.Get(k))))
		}
	}
	return nil
}
