package solve

// Plan answers a Problem. Its slices run parallel to the problem's.
type Plan struct {
	Jobs []JobPlan
	// Unplaced lists the jobs without any place within the horizon, ascending.
	Unplaced []int
	Cost     Cost
}

// JobPlan is the plan of one job, empty where the job is unplaced.
type JobPlan struct {
	Ops   []OpPlan
	Links []LinkPlan
}

// OpPlan is the plan of one operation.
type OpPlan struct {
	Start int
	Choice
}

// Choice is what an operation holds.
type Choice struct {
	// Needs[i] is the resource that serves Op.Needs[i], an index into
	// Problem.Resources; nil where the operation needs nothing.
	Needs []int
	// Machine is an index into Problem.Machines, or Free (-1) for none.
	Machine int
	// Spread[k] is how many of the use's items lie on part k of the machine; nil
	// where it has no parts or, of what is fixed, where that is not known.
	Spread []int
}

// LinkPlan is the plan of one wait.
type LinkPlan struct {
	// Mode is an index into Link.Modes.
	Mode int
	// Space[i] is the resource that serves the mode's Space[i].
	Space []int
}

// Cost breaks a plan's cost down. Unplaced jobs are not in it: a plan with
// fewer of them is better, whatever the cost.
type Cost struct {
	// Late is the sum of Op.Weight times slots late, Early that of
	// Op.EarlyWeight times slots early, Span the slots from the first start to
	// the last end.
	Late, Early, Span int64
	// Hand, Modes, Choices and Moves are sums of prices.
	Hand, Modes, Choices, Moves int64
	// Total is Problem.Late*Late + Problem.Early*Early + Problem.Span*Span +
	// Hand + Modes + Choices + Moves.
	Total int64
}
