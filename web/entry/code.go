package entry

import (
	"crypto/rand"
	"crypto/subtle"
	"fmt"
	"math/big"
	"strings"
	"sync"
	"time"
)

// A code is eight digits, 26 bits, for ten minutes, once, and for ten wrong
// tries (OWASP ASVS 5.0: 20 bits 6.5.4, ten minutes 6.5.5, once 6.5.1).
const (
	digits     = 8
	CodeLasts  = 10 * time.Minute
	mostWrong  = 10
	codeValues = 100_000_000
)

// Codes holds the code that lets one more device in. The zero one holds none. It
// is safe for concurrent use.
type Codes struct {
	mu    sync.Mutex
	code  string
	role  string
	ends  time.Time
	wrong int
}

// New makes a code that gives its user a role; the one before is void.
func (c *Codes) New(role string, now time.Time) {
	n, err := rand.Int(rand.Reader, big.NewInt(codeValues))
	if err != nil {
		panic(err) // crypto/rand never fails
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.code, c.role, c.ends, c.wrong = fmt.Sprintf("%0*d", digits, n), role, now.Add(CodeLasts), 0
}

// Current gives the code that can be used now, "" for none.
func (c *Codes) Current(now time.Time) (code, role string, ends time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.valid(now) {
		return "", "", time.Time{}
	}
	return c.code, c.role, c.ends
}

// Use uses up the code. Blanks and hyphens between the digits are passed over.
func (c *Codes) Use(typed string, now time.Time) (role string, ok bool) {
	typed = strings.NewReplacer(" ", "", "-", "", "\u00a0", "").Replace(typed)
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.valid(now) {
		return "", false
	}
	if subtle.ConstantTimeCompare([]byte(typed), []byte(c.code)) != 1 {
		c.wrong++
		return "", false
	}
	c.code = ""
	return c.role, true
}

func (c *Codes) valid(now time.Time) bool {
	return c.code != "" && now.Before(c.ends) && !now.Before(c.ends.Add(-CodeLasts)) && c.wrong < mostWrong
}
