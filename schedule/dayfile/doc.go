// Package dayfile reads and writes the day and plan files: JSON in the formats
// [schedule.DayFormat] and [schedule.PlanFormat]. It reads the history of one dough,
// too.
//
// Reading is strict, because a misspelt field that is quietly ignored is a bread
// that quietly fails: unknown and doubled fields, wrong types, units in the
// wrong place and anything after the end are refused, every fault at once, each
// with its line, its column, and what to do about it. What the fields mean is
// then judged by [schedule.Day.Validate], and its faults are given the same
// positions.
//
// Writing is stable: equal days give equal bytes.
package dayfile
