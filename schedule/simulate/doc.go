// Package simulate follows a dough through any history of places and handling:
// package heat gives its temperature from core to surface, package rise what
// its yeast makes of it.
//
// A [Dough] and a heat.Body start a [State]; Wait, Handle and Reshape take it
// through the day; [State.Window] and [Table] ask when it will be ready, and
// when too far. States are values: an assignment is a branch of the story.
package simulate
