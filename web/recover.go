package web

import (
	"fmt"
	"net/http"
	"runtime/debug"
)

// recoverPanics turns a fault of the program into an error page and a log line
// with its stack.
func (s *server) recoverPanics(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == nil {
				return
			}
			if v == http.ErrAbortHandler {
				panic(v)
			}
			s.log.ErrorContext(r.Context(), "panic", "path", loggable(r.URL.Path), "value", v, "stack", string(debug.Stack()))
			s.showError(w, r, fmt.Errorf("panic: %v", v))
		}()
		next.ServeHTTP(w, r)
	})
}
