package view

import (
	"strings"
	"time"

	"ovenward/store/record"
)

// Login is the page other machines come in by.
type Login struct {
	To    string // where it leads
	Wrong string // what was wrong with the last try
	Plain bool   // not encrypted
}

// Devices is what the settings say of other machines.
type Devices struct {
	On    bool // other machines may come in
	Host  bool // shown on this machine
	Plain bool // not encrypted
	Role  record.Role
	Own   int64 // session of the browser that shows it, 0 on this machine

	Trust *Trust // what the others trust; nil: they come over plain http

	Addresses []string // where others find the program; on this machine only
	Code      string   // that lets one device in; on this machine only
	CodeRole  record.Role
	CodeEnds  time.Time
	Sessions  []record.Session
}

// Trust is the certificate by which devices know this machine.
type Trust struct {
	Called      string // what devices list it as
	Fingerprint string // SHA-256, in pairs of hexadecimal digits
	Ends        time.Time
	File        string // where it is got
	Next        string // where to go on when it is installed
}

// first is where a device gets the certificate of a server at an address.
func (t *Trust) first(address string) string {
	return "http" + strings.TrimPrefix(address, "https") + "/certificate"
}

// plainWarning is said wherever something secret is typed or shown.
const plainWarning = "This connection is not encrypted: others on this Wi-Fi could read what is sent over it, the passphrase too. " +
	"Use it only in a network whose people you trust, and use this passphrase nowhere else."

// OnlyLooks stands on a helper's page in the place of what changes it.
const OnlyLooks = "This device is a helper’s: it looks. A baker’s device changes what stands here."

// Wait says how long to wait, in whole seconds or minutes, not less than it is.
func Wait(d time.Duration) string {
	if s := int((d + time.Second - 1) / time.Second); s < 90 {
		return count(s, "second")
	}
	return count(int((d+time.Minute-1)/time.Minute), "minute")
}

func roleWord(r record.Role) string {
	if r == record.Helper {
		return "helper: looks, and says “on it”"
	}
	return "baker: does everything"
}

// inTwo shows a code so that it can be read out.
func inTwo(code string) string { return code[:len(code)/2] + " " + code[len(code)/2:] }

func when(t, now time.Time) string {
	if sameDay(t, now) {
		return clock(t)
	}
	return t.Format("2 Jan ") + clock(t)
}
