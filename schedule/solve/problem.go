package solve

// Free marks an operation without a frozen start (Op.Fixed) or without a
// former one (Op.Was).
const Free = -1

// Problem is one scheduling task on a grid of equal slots. Slot t is the time
// [t, t+1); times run from 0 to Slots. The zero value is a valid, empty problem.
type Problem struct {
	// Slots is the horizon: every operation ends at or before it.
	Slots int
	// Now is the earliest start of anything that is not fixed.
	Now int
	// Resources are renewable: what is taken for a while and given back.
	Resources []Resource
	// Machines have a capacity in places and a state, the profile in use.
	Machines []Machine
	// Setup[p][q] is the number of slots a machine needs between the end of a
	// use with profile p and the start of one with q. It must obey the triangle
	// inequality, the shortest use on the way included. The diagonal counts only
	// for profiles that join (see Join). Nil means all 0.
	Setup [][]int
	// Cold[q] is the number of slots after Now before which no free use with
	// profile q starts, on any machine without a Cold of its own. Nil means all 0.
	Cold []int
	// Join[p] tells how uses of profile p share a machine. Below 0 they overlap
	// freely within its capacity. From 0 on they must start within Join[p] slots
	// of each other (one load), or else be apart by Setup[p][p]. Nil means all -1.
	Join []int
	// Jobs are scheduled side by side; they meet only at resources and machines.
	Jobs []Job
	// Late is the cost of a weighted slot after a promise, Early of one before
	// it, Span of a slot between the first start and the last end of all.
	Late, Early, Span int64
}

// Resource is something renewable: a pair of hands, a bowl, room on a shelf.
type Resource struct {
	// Name appears in messages only.
	Name string
	// Cap[t] is the amount there is during slot t: one entry for every slot, or
	// a single one for a constant amount.
	Cap []int32
}

// Machine is used by whole operations, several at once where their profiles
// agree and its places suffice.
type Machine struct {
	// Name appears in messages only.
	Name string
	// Cap is the number of places.
	Cap int
	// Parts is the room of each part of a machine that holds whole items, beside
	// its places; nil where it has no parts.
	Parts []int64
	// Closed are times when nothing may be in the machine.
	Closed []Interval
	// Cold replaces Problem.Cold for this machine; nil means it does not.
	Cold []int
}

// Interval is the time from From up to, not including, To.
type Interval struct{ From, To int }

// Job is a tree of operations: every two operations are connected by exactly
// one way through the links, whatever the links' directions. Several links into
// one operation join side chains; several links out of one part it into branches.
type Job struct {
	// Name appears in messages only.
	Name  string
	Ops   []Op
	Links []Link
}

// Op is an operation: it runs without a break once begun.
type Op struct {
	// Name appears in messages only.
	Name string
	// Dur is the length in slots, 0 for a mere moment.
	Dur int
	// Needs are the resources held during the operation or a part of it.
	Needs []Need
	// Machine is the machine used during the whole operation, or nil.
	Machine *Use
	// Due is the promised END of the operation. It counts where Weight > 0.
	Due int
	// Weight is the promise's weight: each slot late costs Problem.Late*Weight.
	// 0 means no promise, then earliness costs nothing either.
	Weight int64
	// EarlyWeight makes each slot before Due, or before Hand begins, cost
	// Problem.Early*EarlyWeight.
	EarlyWeight int64
	// Hand is how many slots before Due it should end, in case something takes
	// longer; each of them that is used up costs HandCost.
	Hand     int
	HandCost int64
	// Release is the earliest start, beside Problem.Now.
	Release int
	// Fixed is a frozen start, or Free. The zero value means frozen at 0! A
	// fixed operation ignores Now, Release and every capacity; what two fixed
	// operations do to each other is history and not judged.
	Fixed int
	// FixedChoice names what a fixed operation holds. Without Needs it is the
	// first alternative of every need and of the machine.
	FixedChoice *Choice
	// Was is the start in a former plan, or Free. Moving away from it costs
	// MoveFlat once and Move for every slot.
	Was            int
	Move, MoveFlat int64
}

// Need is a part of a resource held during [start+From, start+To).
type Need struct {
	// Any are the resources that could serve; one of them serves the whole need.
	Any []int
	// Cost[i] is the price of choosing Any[i]. Nil means free.
	Cost []int64
	// Amount is what the need takes of the resource, at least 1.
	Amount int32
	// From and To count from the start of the operation; To 0 means Dur.
	From, To int
}

// Use is the use of a machine during a whole operation.
type Use struct {
	// Any are the machines that could serve.
	Any []int
	// Cost[i] is the price of choosing Any[i]. Nil means free.
	Cost []int64
	// Profile is the state the machine must be in, an index into Setup.
	Profile int
	// Places is what the use takes of the machine's capacity, at least 1.
	Places int
	// Items is how many whole items lie on the machine's parts, the same ones all
	// the while, and Share[i][k] what one takes of part k of machine Any[i]; 0 where
	// it may not lie.
	Items int
	Share [][]int64
}

// Link makes operation To start a while after operation From has ended; one of
// the modes must allow the while. Indices count within the job. A link between
// two fixed operations is history: it keeps Modes[0] and its first
// alternatives, whatever its length.
type Link struct {
	From, To int
	Modes    []Mode
}

// Mode is one way of waiting on a link.
type Mode struct {
	// Name appears in messages only.
	Name string
	// Min and Max bound the wait in slots, both included, where Window is nil.
	Min, Max int
	// Window bounds the wait by the slot it begins at.
	Window *Window
	// Space lists what is held during the whole wait.
	Space []Hold
	// Cost is the price of this mode.
	Cost int64
}

// Window is a wait that depends on its beginning e: Min[e] to Max[e] slots,
// both included, for e from 0 to Slots. e+Min[e] and e+Max[e] must not fall
// with e: who waits later is not ready earlier. Min[e] > Max[e] forbids e.
// Share one Window among all links with the same rule: it is prepared once.
type Window struct{ Min, Max []int32 }

// Hold is a part of a resource held during a whole wait.
type Hold struct {
	// Any are the resources that could serve; one of them serves the whole wait.
	Any []int
	// Cost[i] is the price of choosing Any[i]. Nil means free.
	Cost []int64
	// Amount is what is taken of the resource, at least 1.
	Amount int32
}
