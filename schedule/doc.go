// Package schedule works a baker's day backward from the oven.
//
// # Words
//
// A [Bread] is a formula, a method and a make-up. Several breads may be made
// from one [Base] dough that is mixed once and parted. A [Day] holds a
// [Kitchen], breads and [Order]s, each promised for a time. A [Batch] is what
// is mixed together, a [Load] what is baked together, a [Task] a stage given a
// time. Every rise has a [Window]: ready .. too far. A [Plan] is all tasks of a
// day; a [Violation] is what is wrong with one.
//
// # Questions it answers
//
//   - [Day.Validate]: is this day complete and sensible? Every fault at once.
//   - [Make]: when is everything to be done?
//   - [Check]: does this plan hold? Judged apart from the planner.
//   - [Traces]: how does every dough rise and cool through the plan?
//   - [Alerts]: when must the baker be called, and how urgently?
//
// The package is pure: no clock, no files, no randomness, no goroutines. The
// same day gives the same plan, byte for byte.
package schedule
