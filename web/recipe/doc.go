// Package recipe reads and writes recipes as other programs publish them:
// schema.org/Recipe as JSON-LD.
//
// Reading gives a [Draft], not a bread. Its words stay as they were written; beside
// it stands what the program makes of it, and a question wherever that is not
// certain. Times of rises are never taken over: they are another kitchen's.
//
// What is written is for other programs and loses much; a day file or a bundle
// loses nothing.
package recipe
