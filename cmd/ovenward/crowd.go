package main

import (
	"io"
	"net"
	"net/netip"
	"sync"
	"time"

	"ovenward/web/entry"
)

// How many connections other machines may have open: one of them, more than the
// requests a session may have under way; and all, so that files are left for this
// machine itself where a program may have a thousand.
const (
	mostOfOne = 96
	mostOfAll = 512
)

// crowd bounds the connections from other machines. Those of this machine itself
// are never refused, whatever others do.
type crowd struct {
	net.Listener
	mu      sync.Mutex
	of      map[netip.Prefix]int // open connections by client
	all     int
	leaving chan struct{} // has room for those that are being refused
}

func newCrowd(ln net.Listener) *crowd {
	return &crowd{Listener: ln, of: map[netip.Prefix]int{}, leaving: make(chan struct{}, 64)}
}

// Accept waits for a connection there is room for.
func (c *crowd) Accept() (net.Conn, error) {
	for {
		conn, err := c.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from, err := netip.ParseAddrPort(conn.RemoteAddr().String())
		if err != nil || from.Addr().Unmap().IsLoopback() {
			return conn, nil
		}
		client := entry.Network(from.Addr())
		if c.enter(client) {
			return &guest{Conn: conn, leave: func() { c.leave(client) }}, nil
		}
		select {
		case c.leaving <- struct{}{}:
			go func() {
				refuseConn(conn)
				<-c.leaving
			}()
		default:
			conn.Close()
		}
	}
}

func (c *crowd) enter(client netip.Prefix) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.of[client] >= mostOfOne || c.all >= mostOfAll {
		return false
	}
	c.of[client]++
	c.all++
	return true
}

func (c *crowd) leave(client netip.Prefix) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.all--
	if c.of[client]--; c.of[client] == 0 {
		delete(c.of, client)
	}
}

// tooMany is the answer to a connection too many, before anything is asked (429 of
// RFC 6585, section 4).
const tooMany = "HTTP/1.1 429 Too Many Requests\r\nConnection: close\r\nRetry-After: 5\r\nContent-Type: text/plain; charset=utf-8\r\n\r\n" +
	"Too many connections are open to ovenward. Close some of its pages on this device, then try again.\n"

// refuseConn tells why, and hears what is asked: a connection that is closed with
// something unheard breaks off, the answer with it.
func refuseConn(conn net.Conn) {
	defer conn.Close()
	conn.SetDeadline(time.Now().Add(200 * time.Millisecond))
	if _, err := io.WriteString(conn, tooMany); err == nil {
		conn.Read(make([]byte, 4<<10))
	}
}

// guest is a connection of another machine.
type guest struct {
	net.Conn
	once  sync.Once
	leave func()
}

// Close makes room for another.
func (g *guest) Close() error {
	defer g.once.Do(g.leave)
	return g.Conn.Close()
}

// CloseWrite lets the server say that no more comes, and yet hear the rest.
func (g *guest) CloseWrite() error {
	if half, ok := g.Conn.(interface{ CloseWrite() error }); ok {
		return half.CloseWrite()
	}
	return nil
}
