package schedule

// past is what has happened of a strand, by work.
type past struct {
	begun []bool
}
