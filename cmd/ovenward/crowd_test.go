package main

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// arriving is a listener to which connections come from anywhere.
type arriving struct {
	net.Listener
	from chan netip.AddrPort
	ends []net.Conn // the clients'
}

type posing struct {
	net.Conn
	from netip.AddrPort
}

func (p posing) RemoteAddr() net.Addr { return net.TCPAddrFromAddrPort(p.from) }

func (a *arriving) Accept() (net.Conn, error) {
	from, ok := <-a.from
	if !ok {
		return nil, net.ErrClosed
	}
	here, there := net.Pipe()
	a.ends = append(a.ends, there)
	return posing{here, from}, nil
}

// crowdOf lets so many connections come and gives how many of each
// were let in.
func crowdOf(t *testing.T, from ...func(i int) string) []int {
	t.Helper()
	a := &arriving{from: make(chan netip.AddrPort)}
	go func() {
		defer close(a.from)
		for _, f := range from {
			for i := range 1000 {
				a.from <- netip.AddrPortFrom(netip.MustParseAddr(f(i)), uint16(i+1))
			}
		}
	}()
	whose, in := map[netip.Addr]int{}, make([]int, len(from))
	for k, f := range from {
		for i := range 1000 {
			whose[netip.MustParseAddr(f(i)).Unmap()] = k
		}
	}
	ln := newCrowd(a)
	for {
		c, err := ln.Accept()
		if err != nil {
			return in
		}
		in[whose[netip.MustParseAddrPort(c.RemoteAddr().String()).Addr().Unmap()]]++
	}
}

// One machine, however many addresses of a network it has, is held to its share,
// all others together to theirs, and this machine to none.
func TestCrowd(t *testing.T) {
	t.Parallel()
	always := func(s string) func(int) string { return func(int) string { return s } }
	got := crowdOf(t, always("192.168.1.7"), always("::ffff:192.168.1.8"), func(i int) string { return fmt.Sprintf("fd00::%x", i+1) },
		func(i int) string { return fmt.Sprintf("10.0.%d.%d", i/250, i%250) }, always("127.0.0.1"), always("::1"))
	if diff := cmp.Diff([]int{96, 96, 96, 512 - 3*96, 1000, 1000}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// Who leaves makes room, once.
func TestCrowdLeaves(t *testing.T) {
	t.Parallel()
	a := &arriving{from: make(chan netip.AddrPort)}
	ln, at := newCrowd(a), netip.MustParseAddrPort("192.168.1.7:5")
	for range 3 * mostOfOne {
		go func() { a.from <- at }()
		c, err := ln.Accept()
		if err != nil {
			t.Fatal(err)
		}
		c.Close()
		c.Close()
	}
	if len(ln.of) != 0 || ln.all != 0 {
		t.Errorf("%v, %d", ln.of, ln.all)
	}
}

// elsewhere is an address of this machine at which it takes itself for another.
func elsewhere(t *testing.T, r *running) string {
	t.Helper()
	u, err := url.Parse(r.base)
	if err != nil {
		t.Fatal(err)
	}
	all, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range all {
		if ip := a.(*net.IPNet).IP; ip.To4() != nil && !ip.IsLoopback() {
			return net.JoinHostPort(ip.String(), u.Port())
		}
	}
	t.Skip("this machine is in no network")
	return ""
}

// A flood of slow clients is refused beyond its share, in words; this machine is
// answered meanwhile; and when the slow ones have been cut off, others come in.
func TestSlowFlood(t *testing.T) {
	t.Parallel()
	r := startLAN(t)
	at := elsewhere(t, r)
	const flood, told = 300, 20 // on a crowded machine not all that are refused can be told
	var open []net.Conn
	defer func() {
		for _, c := range open {
			c.Close()
		}
	}()
	var refused atomic.Int64
	var heard sync.WaitGroup
	// more come until enough are told: on a slow machine the first are cut off meanwhile
	came := 0
	for ; came < flood || refused.Load() < told && came < 10*flood; came++ {
		c, err := net.Dial("tcp", at)
		if err != nil {
			t.Fatalf("connection %d: %v", came, err)
		}
		open = append(open, c)
		if _, err := io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\nX-Slow: "); err != nil {
			continue // refused already
		}
		heard.Go(func() {
			c.SetReadDeadline(time.Now().Add(patience))
			said, _ := io.ReadAll(c)
			if strings.HasPrefix(string(said), "HTTP/1.1 429 ") && strings.Contains(string(said), "Close some of its pages") {
				refused.Add(1)
			}
		})
	}
	for range 20 {
		if status, page := get(t, r.base+"/"); status != http.StatusOK || !strings.Contains(page, "Slipway") {
			t.Errorf("this machine is answered %d", status)
		}
	}
	heard.Wait() // the slow ones are cut off by ReadHeaderTimeout
	if n := int(refused.Load()); n < told || n > came-mostOfOne {
		t.Errorf("%d of %d were told that there are too many, want %d to %d", n, came, told, came-mostOfOne)
	}
	status, text := 0, ""
	for end := time.Now().Add(patience); status != http.StatusOK && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		res, err := http.Get("http://" + at + "/login")
		status, _, text = body(t, res, err)
	}
	if status != http.StatusOK {
		t.Errorf("afterwards %d: %.200s", status, text)
	}
}
