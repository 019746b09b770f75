package web

import "net/http"

// policy allows nothing but this server's own files: no inline script or style,
// no frame, no other machine.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src 'self'; " +
	"connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; " +
	"object-src 'none'; frame-ancestors 'none'"

// secureHeaders sets the headers every answer carries. The referrer goes to this
// program itself: with none at all a browser that comes over plain http says of
// its forms that they come from "null", and no other header tells whose they are.
// Openers are kept apart where browsers heed it; elsewhere they complain.
func secureHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		if r.TLS != nil || toHere(r) {
			h.Set("Cross-Origin-Opener-Policy", "same-origin")
		}
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "screen-wake-lock=(self), camera=(), microphone=(), geolocation=()")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}
