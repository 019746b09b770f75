package entry

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// The second recommended choice of RFC 9106, section 4: argon2id, three passes
// over 64 MiB in four lanes, 128 bits of salt, 256 bits of tag. A try takes
// some tenths of a second.
const (
	passes    = 3
	kibibytes = 64 << 10
	lanes     = 4
	saltBytes = 16
	tagBytes  = 32
)

// How long a passphrase may be, in characters: OWASP ASVS 5.0 asks for 8 at
// least and advises 15 (6.2.1), and for at least 64 to be allowed (6.2.9).
const (
	Shortest = 15
	Longest  = 256
)

// ErrLength says that a passphrase is too short or too long.
var ErrLength = fmt.Errorf("a passphrase has %d to %d characters; four or five words that do not belong together are easy to keep in mind", Shortest, Longest)

// Hash gives what is kept of a passphrase, in the PHC string format. Any
// characters will do.
func Hash(passphrase string) (string, error) {
	if n := utf8.RuneCountInString(passphrase); n < Shortest || n > Longest {
		return "", ErrLength
	}
	salt := make([]byte, saltBytes)
	rand.Read(salt) // never fails
	tag := argon2.IDKey([]byte(passphrase), salt, passes, kibibytes, lanes, tagBytes)
	return fmt.Sprintf(format, argon2.Version, kibibytes, passes, lanes, b64.EncodeToString(salt), b64.EncodeToString(tag)), nil
}

const format = "$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s"

var b64 = base64.RawStdEncoding

// errHash is a hash this program has not made.
var errHash = errors.New("not a hash of a passphrase")

// Matches reports whether hash was made of passphrase. It takes as long whether
// it was or not.
func Matches(hash, passphrase string) (bool, error) {
	var version, memory, time, threads int
	parts := strings.Split(hash, "$")
	if len(parts) != 6 {
		return false, errHash
	}
	_, err := fmt.Sscanf(strings.Join(parts[:4], "$"), "$argon2id$v=%d$m=%d,t=%d,p=%d", &version, &memory, &time, &threads)
	salt, errSalt := b64.DecodeString(parts[4])
	tag, errTag := b64.DecodeString(parts[5])
	if errors.Join(err, errSalt, errTag) != nil || version != argon2.Version || len(salt) < 8 || len(tag) < 16 || len(tag) > 64 ||
		memory < 1 || memory > 1<<20 || time < 1 || time > 16 || threads < 1 || threads > 16 {
		return false, errHash
	}
	if utf8.RuneCountInString(passphrase) > Longest {
		return false, nil
	}
	got := argon2.IDKey([]byte(passphrase), salt, uint32(time), uint32(memory), uint8(threads), uint32(len(tag)))
	return subtle.ConstantTimeCompare(got, tag) == 1, nil
}
