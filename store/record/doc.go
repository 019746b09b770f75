// Package record names what the program remembers about a day beside the day
// itself: its plans, the calls they make, the taps at the bench. Package store
// keeps these records and the screens show them; neither needs to know the
// other.
package record
