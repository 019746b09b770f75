package entry_test

import (
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"

	"ovenward/web/entry"
)

var now = time.Date(2026, 11, 28, 5, 0, 0, 0, time.UTC)

// The encoded form is the PHC string format; the hashes are known answers of
// the reference implementation's own tests (P-H-C/phc-winner-argon2, test.c;
// from memory).
func TestMatchesReference(t *testing.T) {
	t.Parallel()
	const known = "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"
	for _, tt := range []struct {
		hash, passphrase string
		want, fails      bool
	}{
		{known, "password", true, false},
		{known, "Password", false, false},
		{known, "", false, false},
		{"$argon2id$v=19$m=256,t=2,p=2$c29tZXNhbHQ$bQk8UB/VmZZF4Oo79iDXuL5/0ttZwg2f/5U52iv1cDc", "password", true, false},
		{strings.Replace(known, "argon2id", "argon2i", 1), "password", false, true},
		{strings.Replace(known, "v=19", "v=16", 1), "password", false, true},
		{strings.Replace(known, "m=256", "m=999999999", 1), "password", false, true}, // would take all memory
		{strings.Replace(known, "p=1", "p=0", 1), "password", false, true},
		{known[:len(known)-30], "password", false, true},
		{"", "", false, true},
	} {
		got, err := entry.Matches(tt.hash, tt.passphrase)
		if got != tt.want || (err != nil) != tt.fails {
			t.Errorf("%q, %q: %v, %v", tt.hash, tt.passphrase, got, err)
		}
	}
}

func TestHash(t *testing.T) {
	t.Parallel()
	for _, p := range []string{"four loaves on a peel", "  blanks at both ends  ", strings.Repeat("é", entry.Longest)} {
		a, err := entry.Hash(p)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := entry.Hash(p)
		if a == b || !strings.HasPrefix(a, "$argon2id$v=19$m=65536,t=3,p=4$") || strings.Contains(a, p) {
			t.Errorf("%q: %s, %s", p, a, b)
		}
		for typed, want := range map[string]bool{p: true, strings.ToUpper(p): false} {
			if ok, err := entry.Matches(a, typed); err != nil || ok != want {
				t.Errorf("%q against %q: %v, %v", typed, p, ok, err)
			}
		}
	}
	for _, p := range []string{"", "short", strings.Repeat("é", entry.Shortest-1), strings.Repeat("x", entry.Longest+1)} {
		if h, err := entry.Hash(p); err != entry.ErrLength {
			t.Errorf("%q: %s, %v", p, h, err)
		}
	}
}

// tries counts the tries a client gets in a time, at one a second.
func tries(th *entry.Throttle, client string, from time.Time, during time.Duration) (n int) {
	for at := from; at.Before(from.Add(during)); at = at.Add(time.Second) {
		if th.Try(netip.MustParseAddr(client), at) == 0 {
			n++
		}
	}
	return n
}

func TestThrottle(t *testing.T) {
	t.Parallel()
	var th entry.Throttle
	if n := tries(&th, "192.168.1.7", now, time.Minute); n != 5 {
		t.Errorf("%d tries in the first minute, want 5", n)
	}
	if n := tries(&th, "192.168.1.7", now.Add(time.Minute), time.Hour); n != 60 {
		t.Errorf("%d tries in the next hour, want 60", n)
	}
	th.Try(netip.MustParseAddr("192.168.1.7"), now.Add(61*time.Minute))
	if wait := th.Try(netip.MustParseAddr("::ffff:192.168.1.7"), now.Add(61*time.Minute)); wait <= 0 || wait > time.Minute {
		t.Errorf("the same address written otherwise waits %v", wait)
	}
	if wait := th.Try(netip.MustParseAddr("192.168.1.8"), now.Add(61*time.Minute)); wait != 0 {
		t.Errorf("another waits %v", wait)
	}
	th.Succeeded(netip.MustParseAddr("192.168.1.7"))
	if wait := th.Try(netip.MustParseAddr("192.168.1.7"), now.Add(61*time.Minute)); wait != 0 {
		t.Errorf("after coming in it waits %v", wait)
	}
}

// However many addresses somebody has, all of them together are held to a pace,
// and a /64 is one.
func TestThrottleTogether(t *testing.T) {
	t.Parallel()
	var many, one entry.Throttle
	got, prefix := 0, 0
	for i := range 100_000 { // 1000 s
		at := now.Add(time.Duration(i) * 10 * time.Millisecond)
		if many.Try(netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}), at) == 0 {
			got++
		}
		if one.Try(netip.MustParseAddr(fmt.Sprintf("2001:db8::%x:%x", i>>16, i&0xffff)), at) == 0 {
			prefix++
		}
	}
	if got != 20+99 {
		t.Errorf("%d tries in 1000 s, want 119", got)
	}
	if prefix != 5+16 {
		t.Errorf("%d tries of one network in 1000 s, want 21", prefix)
	}
}

// A code works once, for ten minutes, with blanks as it is shown; and not at all
// after ten wrong tries.
func TestCode(t *testing.T) {
	t.Parallel()
	var c entry.Codes
	if _, ok := c.Use("", now); ok {
		t.Error("no code is a code")
	}
	c.New("helper", now)
	code, role, ends := c.Current(now)
	if len(code) != 8 || role != "helper" || ends != now.Add(10*time.Minute) {
		t.Fatalf("%q %q %v", code, role, ends)
	}
	if _, ok := c.Use("x"+code, now); ok {
		t.Error("a wrong code was taken")
	}
	if role, ok := c.Use(code[:4]+" "+code[4:], now.Add(9*time.Minute)); !ok || role != "helper" {
		t.Errorf("%q, %v", role, ok)
	}
	if _, ok := c.Use(code, now.Add(9*time.Minute)); ok {
		t.Error("it was taken twice")
	}
	c.New("baker", now)
	code, _, _ = c.Current(now)
	for _, at := range []time.Time{now.Add(10 * time.Minute), now.Add(-time.Second)} {
		if _, ok := c.Use(code, at); ok {
			t.Errorf("taken at %v", at)
		}
	}
	for range 10 {
		c.Use("wrong", now)
	}
	if _, ok := c.Use(code, now); ok {
		t.Error("taken after ten wrong tries")
	}
	old := code
	c.New("baker", now)
	if _, ok := c.Use(old, now); ok {
		t.Error("a former code was taken")
	}
}

func BenchmarkMatches(b *testing.B) {
	h, err := entry.Hash("four loaves on a peel")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		entry.Matches(h, "four loaves on a peel")
	}
}

// A clock set back by an hour keeps nobody waiting for an hour.
func TestThrottleClockBack(t *testing.T) {
	t.Parallel()
	var th entry.Throttle
	tries(&th, "192.168.1.7", now, time.Minute)
	if wait := th.Try(netip.MustParseAddr("192.168.1.7"), now.Add(-time.Hour)); wait > time.Minute {
		t.Errorf("it waits %v", wait)
	}
}
