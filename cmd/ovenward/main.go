// Ovenward works a baker's day backward from the oven.
//
// Usage:
//
//	ovenward [serve] [-addr HOST:PORT] [-lan [-https]] [-data DIR] [-v]
//	ovenward plan  [-json] [-why] [-ways] [-now TIME] DAY.json
//	ovenward check DAY.json PLAN.json
//	ovenward rise  [-json | -csv] FILE.json
//	ovenward export [-data DIR] [FILE]
//	ovenward import [-data DIR] [-replace] FILE
//	ovenward backup  [-data DIR] FILE
//	ovenward restore [-data DIR] FILE
//	ovenward doctor  [-data DIR]
//	ovenward passphrase [-data DIR] [-remove]
//	ovenward certificate [-data DIR] [-replace] [FILE]
//	ovenward version
//
// Flags may stand before or after files. A file named - is standard input. Ovenward
// -h lists the commands, COMMAND -h its flags.
//
// # serve
//
// Serve shows the day in the browser, keeps it in a database and rings when
// something is due. It is what ovenward does without a command. It prints the
// address it listens on and ends at an interrupt (Ctrl-C).
//
//	-addr HOST:PORT  listen here; without it 127.0.0.1:4280, or the next free port
//	-lan             answer other machines of the network, too; so does an -addr
//	                 that is not of this machine alone
//	-https           with -lan: encrypt what goes to other machines
//	-data DIR        keep the database here; without it ovenward's folder among
//	                 the user's data ($XDG_DATA_HOME, ~/.local/share,
//	                 ~/Library/Application Support, %LocalAppData%)
//	-v               log every request
//
// OVENWARD_ADDR and OVENWARD_DATA stand for the flags where these are not given.
// A first start shows an example day for the next morning.
//
// Without -lan only this machine is answered, and needs no log-in. With it others
// log in with the passphrase, or with a code that the settings page shows on this
// machine: eight digits, for ten minutes, for one device, as a baker or as a
// helper, who sees everything and can only say "on it". The settings list the
// devices and log them out. It is plain http: others on the same Wi-Fi could read
// what is sent, the passphrase too, unless -https encrypts it; see certificate. A
// proxy on this machine that hides for whom it speaks (no X-Forwarded-For,
// Forwarded or Via) would let anybody in as this machine: put none before it.
//
// # plan
//
// Plan prints the timetable of a day file, or with -json the plan file. -now
// plans as if it were another time than the file's, written as
// 2026-11-28T04:00. -why says of every time why it is then and not later; -ways
// compares plans that differ in kind (fresher, more time in hand, held in the
// cold), with how often each held when its day was played with other doughs.
// Equal days give equal bytes.
//
// # check
//
// Check judges a plan for a day independently of how it was made: it simulates
// every rise and counts every hand, tray, tin and degree again. It prints each
// thing that does not hold on a line of its own.
//
// # rise
//
// Rise follows one dough through the places and handlings a history file names
// and prints how it warms and rises; with -csv a point every five minutes, with
// -json everything.
//
// # export, import
//
// Export writes everything that is remembered into one new file, or to standard
// output. Import takes such a file in beside what is there, or with -replace in
// place of it, all of it or nothing, after a backup beside the database. It does not
// while a server holds the database; the server's page /inout does. Neither takes
// more than 128 MiB, the work of some seven years: backup and restore move any
// database.
//
// # backup, restore
//
// Backup writes all days, breads and the kitchen to FILE, also while ovenward
// serves. Restore puts such a file in the place of the database, after looking
// it through; the database before is kept beside it under another name. It
// refuses while ovenward serves.
//
// Serve makes a copy a day in DIR/backup by itself and keeps those of the newest
// seven days and, before them, the newest of each of four weeks. A disk that
// fails takes both: copy that folder elsewhere.
//
// # doctor
//
// Doctor looks the database, the clock, the disk, who may read and write what, and the
// plans of the days to come through, changes nothing, and says in a line each
// what is well and what to do about what is not.
//
// # passphrase
//
// Passphrase sets what other machines log in with, 15 characters or more, read
// unseen from the terminal, or as the first line of standard input; -remove has
// none any more. Devices that were logged in are out. It refuses while ovenward
// serves.
//
// # certificate
//
// With serve -lan -https other machines are answered over https alone, at the same
// port, by a certificate that ovenward signs itself; this machine's own browser
// goes on as before. Each device has to install the signer's certificate once:
// open http://ADDRESS:PORT/certificate on it and follow the steps. Certificate
// makes the signer if there is none yet, prints what it vouches for and the
// SHA-256 to compare on the device, and writes its certificate to FILE, to carry
// to devices another way. It lasts five years; -replace makes another, after
// which devices have to install that. The server's own certificate lasts ninety
// days and is renewed by itself.
//
// The signer is bound to names of this machine (plain, .local, .home.arpa) and to
// private addresses; its key lies in DIR/certificate, for its owner alone. Whoever
// takes it could pose as this machine before your devices, and as no other.
//
// # Exit status
//
//	0  done; of plan: every promise is kept; of check: the plan holds; of doctor: all is well
//	1  judged: the plan is late or broken, or does not hold, or not all is well
//	2  a wrong command line, or a file that cannot be read or is not right
//	3  anything else, such as a database in use or a full disk
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
	_ "time/tzdata" // a bare machine has no zones
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	p := &program{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		now: func() time.Time { return time.Now().Round(0) }, getenv: os.Getenv,
	}
	os.Exit(p.run(ctx, os.Args[1:]))
}
