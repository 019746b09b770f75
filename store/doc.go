// Package store remembers: kitchen, breads, days, plans, calls and taps, in one
// SQLite file. It is the only package that knows there is a database; what goes
// in and comes out are the nouns of package schedule and of store/record.
//
// Every method is one transaction: when it returns nil, what it wrote is on
// disk. Its errors say what was being done; where a person can do something
// about one, it wraps a *record.Error with a sentence for them.
package store
