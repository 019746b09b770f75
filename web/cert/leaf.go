package cert

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"net"
	"slices"
	"sync"
	"time"
)

// A server's certificate lasts ninety days and is renewed in the last thirty.
// Devices of one large maker take at most 825 days (their support page 103769).
const (
	LeafLasts   = 90 * 24 * time.Hour
	renewBefore = 30 * 24 * time.Hour
)

// Leaf is the certificate a server shows, kept in memory and made anew when it
// is soon to end, when the clock says it has not begun, and when the machine is
// reached at other addresses. It is safe for concurrent use.
type Leaf struct {
	Authority *Authority
	Hosts     func() []string  // names and addresses the machine is reached at
	Now       func() time.Time // the wall clock

	mu    sync.Mutex
	hosts []string
	cert  *tls.Certificate
}

// Get is for tls.Config.GetCertificate.
func (l *Leaf) Get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now, hosts := l.Now(), l.Hosts()
	if c := l.cert; c != nil && slices.Equal(hosts, l.hosts) && !now.Before(c.Leaf.NotBefore) && now.Before(c.Leaf.NotAfter.Add(-renewBefore)) {
		return c, nil
	}
	c, err := l.Authority.issue(hosts, now)
	if err == nil {
		l.cert, l.hosts = c, hosts
	}
	return c, err
}

// issue makes a server's certificate for those hosts the authority can speak
// for.
func (a *Authority) issue(hosts []string, now time.Time) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	t := &x509.Certificate{
		Subject: pkix.Name{CommonName: a.root.Subject.CommonName}, NotBefore: now.Add(-skew), NotAfter: now.Add(LeafLasts),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	for _, h := range hosts {
		switch ip := net.ParseIP(h); {
		case !a.SpeaksFor(h):
		case ip != nil:
			t.IPAddresses = append(t.IPAddresses, ip)
		default:
			t.DNSNames = append(t.DNSNames, h)
		}
	}
	leaf, err := sign(t, a.issuer, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	return &tls.Certificate{Certificate: [][]byte{leaf.Raw, a.issuer.Raw}, PrivateKey: key, Leaf: leaf}, nil
}

// SpeaksFor reports whether the authority may vouch for a name or an address.
func (a *Authority) SpeaksFor(host string) bool {
	ip := net.ParseIP(host)
	if ip == nil {
		return slices.Contains(a.issuer.PermittedDNSDomains, host)
	}
	return slices.ContainsFunc(a.issuer.PermittedIPRanges, func(n *net.IPNet) bool { return n.Contains(ip) })
}
