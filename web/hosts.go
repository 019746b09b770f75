package web

import (
	"net"
	"net/http"
	"slices"
	"strings"

	"ovenward/web/view"
)

// allowHosts answers only to this machine's own names and to those configured,
// so that a foreign page whose name was pointed here cannot read the kitchen
// (DNS rebinding). An address it was reached at is its own, since a browser that
// says an address has gone there. Anything else gets 421.
func allowHosts(names []string) func(http.Handler) http.Handler {
	allowed := []string{"127.0.0.1", "localhost", "::1"}
	for _, n := range names {
		allowed = append(allowed, strings.ToLower(n))
	}
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			h := hostName(r.Host)
			if slices.Contains(allowed, h) || strings.HasSuffix(h, ".localhost") || reachedAt(r, h) {
				next.ServeHTTP(w, r)
				return
			}
			if err := render(w, r, http.StatusMisdirectedRequest, view.MisdirectedPage()); err != nil {
				http.Error(w, "This program does not answer to that name. Open it by its address, or at localhost on its own computer.", http.StatusMisdirectedRequest)
			}
		})
	}
}

// hostName is the host of a Host header, without port and brackets.
func hostName(host string) string {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	return strings.ToLower(strings.Trim(host, "[]"))
}

// reachedAt reports whether host is the address a request has arrived at.
func reachedAt(r *http.Request, host string) bool {
	local, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	ip := net.ParseIP(host)
	return ok && ip != nil && ip.Equal(local.IP)
}
