// Package bundle is everything the program remembers in one file, for keeping
// and for moving to another computer: JSON in the format [Format], complete, so
// that what is read is what was written.
//
// Writing is stable: equal bundles give equal bytes. Reading is strict: unknown
// and doubled fields, wrong types and references to what is not there are
// refused with line and column, before anything is changed.
package bundle
