package dough

// Fault is one thing wrong with a formula and what to do about it.
type Fault struct {
	Where  string `json:"where"` // "ingredients[2].percent"
	What   string `json:"what"`
	Remedy string `json:"remedy"`
}

// Validate lists every fault of the formula, in the order of its ingredients.
func (f Formula) Validate() []Fault { return nil }
