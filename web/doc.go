// Package web talks: it shows a baker's day in the browser and takes what the
// baker enters and taps. Every page works without a script; scripts only make
// it live.
//
// A handler loads, decides nothing, renders to a buffer and answers; what is
// decided lies in package schedule, what is remembered behind [Store].
package web
