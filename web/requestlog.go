package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5/middleware"
)

// logRequests writes a line for every answer: what was asked, the status, how
// much and how long.
func (s *server) logRequests(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		start := time.Now()
		next.ServeHTTP(ww, r)
		s.log.DebugContext(r.Context(), "request", "method", r.Method, "path", loggable(r.URL.Path),
			"status", ww.Status(), "bytes", ww.BytesWritten(), "took", time.Since(start))
	})
}
