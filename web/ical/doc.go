// Package ical writes a plan as an iCalendar file (RFC 5545, with the properties
// of RFC 7986 and the alarm identifiers of RFC 9074), for calendars that import
// or subscribe to it. It is a back-up for the calls the program makes itself: a
// plan that changes reaches a calendar when that calendar next asks.
package ical
