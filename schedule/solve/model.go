package solve

// model is a problem prepared for the search: jobs in canonical order, indices
// flat, alternatives multiplied out, windows as tables of absolute slots.
type model struct {
	p          *Problem
	slots, now int32
	order      []int // canonical job -> problem job
	jobs       []job
	ops        []op
	links      []link
	// A store is a resource or, behind those, the places of a machine.
	stores [][]int32 // capacity by slot
	levels []level
	byRoom [][]int // store -> levels
	groups int
	spread int32 // length of all that operations put on parts
	longest,
	widest int // ops of the largest job, combos of the largest group
	seed uint64
}

// level asks whether a store has at least amount left.
type level struct {
	store  int32
	amount int32
}

type job struct {
	ops, links span // into model
	// walk visits every operation after its children; the last is the root.
	walk []int32
	// parallel jobs may get in their own way: branches, or several machine uses.
	parallel bool
	// impossible jobs have no place even in an empty kitchen.
	impossible bool
	// leaf ends the job's main chain, which the root begins.
	leaf int32
	// least is the least cost in an empty kitchen, without the span.
	least int64
	// segments are the job's parts without a fork or a join, the root's first.
	segments [][]int32
}

type span struct{ from, to int32 }

type op struct {
	job, dur    int32
	lo, hi      int32 // starts that windows, release and horizon allow
	at          int32 // start of what is frozen
	frozen      bool
	groups      []group
	group       int32 // index of the first group among all groups
	use         *use
	spread      span    // of its items by part, among those of all operations
	lies        []int32 // of what is frozen: its items by part, where known
	due, was    int32
	hand        int32
	late, early int64 // per slot
	spent       int64 // per slot in hand
	move, flat  int64
	weight      int64 // as in the problem, for the breakdown
	earlyWeight int64
	children    []edge
	links       []int32 // all links of the operation
	up          int32   // link to the parent, -1 at the root
}

// priced tells whether the start of o costs anything by itself.
func (o *op) priced() bool { return o.late|o.early|o.spent|o.move|o.flat != 0 }

// cost prices a start of o by itself.
func (o *op) cost(t int32) int64 {
	end := t + o.dur
	c := o.late*int64(max(0, end-o.due)) + o.early*int64(max(0, o.due-o.hand-end)) + o.spent*int64(min(max(0, end-o.due+o.hand), o.hand))
	if o.was >= 0 && t != o.was {
		c += o.flat + o.move*int64(max(t-o.was, o.was-t))
	}
	return c
}

// group is a set of needs that get in each other's way, with all the ways to
// serve them. Needs of different groups are served independently.
type group struct {
	needs  []int32
	combos []combo
	priced bool
}

type combo struct {
	serves []int32 // resource by group.needs
	pieces []piece
	books  []booking
	cost   int64
}

// piece asks for a level during [start+from, start+to).
type piece struct{ level, from, to int32 }

// booking takes amount from a store during [start+from, start+to).
type booking struct{ store, amount, from, to int32 }

type use struct {
	profile, places, items int32
	machines               []machine
	priced                 bool
}

type machine struct {
	id, level int32
	cold      int32 // first start of a free use
	cost      int64
	books     []booking
	share     []int64 // what an item takes of each part
}

type link struct {
	from, to int32
	frozen   bool
	ways     []way
}

// way is a mode with its spaces chosen.
type way struct {
	lo, hi []int32 // start of link.to by end of link.from
	levels []int32
	books  []booking
	cost   int64
	mode   int32
	space  []int32
}

// edge leads from an operation to a child in the job's tree.
type edge struct {
	link, child int32
	after       bool // the child comes after the parent in time
}

// setup gives the slots between profiles a and b.
func (m *model) setup(a, b int32) int32 {
	if m.p.Setup == nil {
		return 0
	}
	return int32(m.p.Setup[a][b])
}

// join gives the batch tolerance of a profile, below 0 for none.
func (m *model) join(a int32) int32 {
	if m.p.Join == nil {
		return -1
	}
	return int32(max(-1, min(m.p.Join[a], maxSlots)))
}
