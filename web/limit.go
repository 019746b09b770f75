package web

import (
	"net/http"

	"ovenward/store/bundle"
)

// maxBody is far above the largest form, the kitchen's.
const maxBody = 1 << 20

// limitBody refuses bodies no form of ours has.
func limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		most := int64(maxBody)
		if r.URL.Path == atInout {
			most += bundle.Largest
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}
