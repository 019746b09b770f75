// Package cert is a certificate authority of one kitchen's computer: it makes
// what the computer shows to devices of its own network, so that they can speak
// with it unread, and nothing else.
package cert

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Lasts is after how long an authority ends and another one must be installed.
const Lasts = 5 * 365 * 24 * time.Hour

// skew is how far a device's clock may be behind.
const skew = time.Hour

// FileName is what an authority is kept in, in a folder of this machine.
const FileName = "authority.pem"

// Authority is what a device is asked to trust, and what signs in its name. The
// root signed the issuer and its key was thrown away, so whoever steals the file
// is bound by the issuer's constraints, also where those of a root are not
// looked at (RFC 5280 section 6.1 asks for them of certificates below it only).
type Authority struct {
	root, issuer *x509.Certificate
	key          *ecdsa.PrivateKey // the issuer's
}

// private are the addresses of networks of one's own: loopback, private IPv4
// (RFC 1918), link-local (RFC 3927, 4291) and unique local IPv6 (RFC 4193).
var private = []string{"127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "::1/128", "fc00::/7", "fe80::/10"}

// Names are those by which a network of one's own may know a machine: the plain
// one, and under .local (RFC 6762) and .home.arpa (RFC 8375).
func Names(hostname string) []string {
	first, _, _ := strings.Cut(strings.ToLower(hostname), ".")
	if first == "" || first == "localhost" {
		return []string{"localhost"}
	}
	return []string{"localhost", first, first + ".local", first + ".home.arpa"}
}

// New makes an authority for the names of one machine and for private addresses.
func New(hostname string, now time.Time) (*Authority, error) {
	rootKey, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	names := Names(hostname)
	called := "ovenward on " + names[min(1, len(names)-1)]
	root, err := sign(ca(names, called, now, 1), nil, &rootKey.PublicKey, rootKey)
	if err != nil {
		return nil, err
	}
	issuer, err := sign(ca(names, called+", issuer", now, 0), root, &key.PublicKey, rootKey)
	return &Authority{root, issuer, key}, err
}

// ca describes what signs, and for whom it may.
func ca(names []string, called string, now time.Time, below int) *x509.Certificate {
	t := &x509.Certificate{
		Subject: pkix.Name{CommonName: called}, NotBefore: now.Add(-skew), NotAfter: now.Add(Lasts),
		IsCA: true, BasicConstraintsValid: true, MaxPathLen: below, MaxPathLenZero: below == 0,
		KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: names,
	}
	for _, p := range private {
		_, n, _ := net.ParseCIDR(p)
		t.PermittedIPRanges = append(t.PermittedIPRanges, n)
	}
	return t
}

// sign makes a certificate; without a parent it is its own.
func sign(t, parent *x509.Certificate, key *ecdsa.PublicKey, by *ecdsa.PrivateKey) (*x509.Certificate, error) {
	var err error
	if t.SerialNumber, err = rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127)); err != nil {
		return nil, err
	}
	if parent == nil {
		parent = t
	}
	der, err := x509.CreateCertificate(rand.Reader, t, parent, key, by)
	if err != nil {
		return nil, err
	}
	return x509.ParseCertificate(der)
}

// Save keeps the authority in a folder, for its owner's eyes only.
func (a *Authority) Save(folder string) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	key, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return err
	}
	all := slices.Concat(a.PEM(), encode("CERTIFICATE", a.issuer.Raw), encode("PRIVATE KEY", key))
	f, err := os.CreateTemp(folder, FileName+".*") // 0600
	if err != nil {
		return err
	}
	_, err = f.Write(all)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(f.Name(), filepath.Join(folder, FileName))
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

// Open reads what Save wrote. Without a file the error is os.ErrNotExist.
func Open(folder string) (*Authority, error) {
	path := filepath.Join(folder, FileName)
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	a, err := parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; make another authority with ovenward certificate -replace", path, err)
	}
	return a, nil
}

func parse(data []byte) (*Authority, error) {
	var der [3][]byte
	for i, kind := range []string{"CERTIFICATE", "CERTIFICATE", "PRIVATE KEY"} {
		block, rest := pem.Decode(data)
		if block == nil || block.Type != kind {
			return nil, errors.New("not a certificate authority of ovenward")
		}
		der[i], data = block.Bytes, rest
	}
	root, errRoot := x509.ParseCertificate(der[0])
	issuer, errIssuer := x509.ParseCertificate(der[1])
	key, errKey := x509.ParsePKCS8PrivateKey(der[2])
	if err := errors.Join(errRoot, errIssuer, errKey); err != nil {
		return nil, err
	}
	k, ok := key.(*ecdsa.PrivateKey)
	if !ok || !k.PublicKey.Equal(issuer.PublicKey) || issuer.CheckSignatureFrom(root) != nil {
		return nil, errors.New("its parts do not belong together")
	}
	return &Authority{root, issuer, k}, nil
}

func encode(kind string, der []byte) []byte {
	return pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der})
}

// PEM is the certificate a device installs, as text.
func (a *Authority) PEM() []byte { return encode("CERTIFICATE", a.root.Raw) }

// DER is the certificate a device installs, as bytes.
func (a *Authority) DER() []byte { return a.root.Raw }

// Ends is when the authority does.
func (a *Authority) Ends() time.Time { return a.issuer.NotAfter }

// Called is what devices list it as.
func (a *Authority) Called() string { return a.root.Subject.CommonName }

// Names are the only names it can speak for, beside private addresses.
func (a *Authority) Names() []string { return slices.Clone(a.issuer.PermittedDNSDomains) }

// Fingerprint is by what the certificate is told from a forged one: its SHA-256
// as devices show it, in pairs of hexadecimal digits.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.root.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, " ")
}
