// Package testdata embeds the example day that a first start shows.
package testdata

import _ "embed"

// Example is the day of the example tearoom as a day file. Every name, weight
// and time in it is invented.
//
//go:embed day/example.json
var Example []byte
