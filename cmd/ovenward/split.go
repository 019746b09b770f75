package main

import (
	"errors"
	"net"
	"sync"
	"time"
)

// handshake is the first byte of every TLS connection (RFC 8446 section 5.1); no
// request in plain text begins with it.
const handshake = 0x16

// firstByte is how long a connection may take to say what it is.
const firstByte = 5 * time.Second

// split sorts what arrives at one port into plain and encrypted connections. Both
// end with either.
func split(ln net.Listener) (plain, secure net.Listener) {
	s := &splitter{Listener: ln, ended: make(chan struct{})}
	p, e := &half{s, make(chan net.Conn)}, &half{s, make(chan net.Conn)}
	go s.accept(p, e)
	return p, e
}

type splitter struct {
	net.Listener
	once  sync.Once
	ended chan struct{}
}

// Close ends both halves.
func (s *splitter) Close() (err error) {
	s.once.Do(func() { close(s.ended); err = s.Listener.Close() })
	return err
}

func (s *splitter) accept(plain, secure *half) {
	defer s.Close()
	for {
		c, err := s.Listener.Accept()
		switch {
		case errors.Is(err, net.ErrClosed):
			return
		case err != nil: // too many open files, perhaps: it passes
			time.Sleep(50 * time.Millisecond)
		default:
			go sort(c, plain, secure)
		}
	}
}

// sort hands a connection on when it has said its first byte.
func sort(c net.Conn, plain, secure *half) {
	said := &begun{Conn: c}
	c.SetReadDeadline(time.Now().Add(firstByte))
	if _, err := c.Read(said.first[:]); err != nil {
		c.Close()
		return
	}
	c.SetReadDeadline(time.Time{})
	to := plain
	if said.first[0] == handshake {
		to = secure
	}
	select {
	case to.arrived <- said:
	case <-to.ended:
		c.Close()
	}
}

// half is the listener of one kind.
type half struct {
	*splitter
	arrived chan net.Conn
}

// Accept waits for a connection of the kind.
func (h *half) Accept() (net.Conn, error) {
	select {
	case c := <-h.arrived:
		return c, nil
	case <-h.ended:
		return nil, net.ErrClosed
	}
}

// begun is a connection whose first byte has been read.
type begun struct {
	net.Conn
	first [1]byte
	given bool
}

// Read gives the first byte again, then what follows.
func (b *begun) Read(p []byte) (int, error) {
	if b.given || len(p) == 0 {
		return b.Conn.Read(p)
	}
	b.given = true
	p[0] = b.first[0]
	return 1, nil
}
