package record

// Named counts the breads and base doughs that name something of the kitchen: by
// its list, "tins", "trays" or "places", and its name.
type Named map[string]map[string]int
