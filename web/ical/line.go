package ical

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// widest is the octets a line may have without its line break (RFC 5545, 3.1).
const widest = 75

// lines gathers content lines.
type lines struct{ buf bytes.Buffer }

// raw writes a property whose value needs no escaping.
func (o *lines) raw(name, value string) { o.fold(name + ":" + value) }

// text writes a property of type TEXT.
func (o *lines) text(name, value string) { o.fold(name + ":" + escape(value)) }

// fold breaks a content line into lines of at most widest octets, never within a
// character; every further line begins with a space that counts.
func (o *lines) fold(line string) {
	room := widest
	for len(line) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(line[cut]) {
			cut--
		}
		o.buf.WriteString(line[:cut])
		o.buf.WriteString("\r\n ")
		line, room = line[cut:], widest-1
	}
	o.buf.WriteString(line)
	o.buf.WriteString("\r\n")
}

// escape writes a TEXT value (3.3.11): backslash, semicolon, comma and line
// breaks are escaped, other control characters may not occur and are dropped.
func escape(s string) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\r\n", "\n")
	var b strings.Builder
	for _, c := range s {
		switch {
		case c == '\\' || c == ';' || c == ',':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c == '\n' || c == '\r':
			b.WriteString(`\n`)
		case c < ' ' && c != '\t' || c == 0x7f:
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// utc writes an instant in form 2 of a DATE-TIME (3.3.5), which needs no
// VTIMEZONE.
func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// duration writes whole minutes as a DURATION (3.3.6), one at least.
func duration(d time.Duration) string { return fmt.Sprintf("PT%dM", max(1, int(d/time.Minute))) }
