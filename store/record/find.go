package record

// Name is how something is chosen from a list.
type Name struct {
	ID   string
	Name string
}

// Find asks for part of a long list.
type Find struct {
	Text string // what the name holds, in any case; "" = all
	Skip int    // how many to pass over
	Most int    // how many to give, at least 1
}
