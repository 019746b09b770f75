package web

import "net/http"

// maxBody is far above the largest form, the kitchen's.
const maxBody = 1 << 20

// limitBody refuses bodies no form of ours has.
func limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		next.ServeHTTP(w, r)
	})
}
