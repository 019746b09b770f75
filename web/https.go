package web

import (
	"net/http"
	"strings"

	"ovenward/web/cert"
	"ovenward/web/view"
)

// atCertificate is where a device gets the authority it is to trust. Until it
// does it cannot come over https, so these are answered over plain http, too.
const (
	atCertificate     = "/certificate"
	atCertificateFile = atCertificate + "/ovenward.crt"
)

// onlyEncrypted leads other machines that come over plain http to https, at the
// same port. What they send is refused, so that none learns to send it plain.
func (s *server) onlyEncrypted(next http.Handler) http.Handler {
	if s.authority == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case r.TLS != nil, fromHere(r), leadsToTrust(r.URL.Path):
			next.ServeHTTP(w, r)
		case r.Method == http.MethodGet, r.Method == http.MethodHead:
			http.Redirect(w, r, "https://"+r.Host+r.URL.RequestURI(), http.StatusTemporaryRedirect)
		default:
			http.Error(w, "Nothing is taken unencrypted. Open https://"+r.Host+" and send it there.", http.StatusForbidden)
		}
	})
}

// open reports whether a path is for who has not come in.
func open(at string) bool { return leadsToTrust(at) || strings.HasPrefix(at, feedPath) }

// leadsToTrust reports whether a path is what a device needs before it can come
// over https.
func leadsToTrust(at string) bool {
	return strings.HasPrefix(at, "/static/") || at == atCertificate || at == atCertificateFile
}

// certificatePage tells how a device comes to trust this machine.
func (s *server) certificatePage(w http.ResponseWriter, r *http.Request) error {
	return render(w, r, http.StatusOK, view.CertificatePage(s.bare(r, "Encrypted connection"), trust(s.authority, r)))
}

func trust(a *cert.Authority, r *http.Request) view.Trust {
	return view.Trust{Called: a.Called(), Fingerprint: a.Fingerprint(), Ends: a.Ends(), File: atCertificateFile, Next: "https://" + r.Host + "/"}
}

// certificateFile is what the device installs.
func (s *server) certificateFile(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	w.Header().Set("Content-Disposition", `attachment; filename="ovenward.crt"`)
	_, err := w.Write(s.authority.DER())
	return err
}
