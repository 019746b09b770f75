// Package solve is a generic scheduler in integers: jobs are trees of
// operations tied by waits of bounded, possibly time-dependent length; they
// share renewable resources, and machines whose state must fit. It knows no
// clock, no concurrency and no randomness but its own: the same problem and
// settings give the same plan, to the byte.
//
// # Method
//
// The heart is exact insertion (placer): with all other jobs where they are,
// the cheapest place of one job is found by dynamic programming over its tree,
// from the leaves to the root. For a start t of operation i,
//
//	f_i(t) = own cost of t + sum over children c of min { f_c(u) : u in window(t) }
//
// where t must find room on the board (bit masks, one bit per slot) and the
// window is cut where a space fills up. As windows move monotonously with t, a
// queue of falling minima gives every inner minimum at constant amortised
// cost, so that an insertion takes time proportional to operations x slots,
// and much less once a limit on the cost bounds the slots worth looking at.
// A job's own parallel parts do not see each other in this; where they turn
// out to collide, its parts are placed one after another in several orders.
//
// A machine may hold whole items on parts of its own room. What is free changes
// only where uses begin and end, so that few starts are looked at; items go on the
// part they leave least room on, or fill the largest first.
//
// Around it runs ruin and recreate with annealing (search): a few jobs that end
// close to one another come off the board and go back one by one. As each at
// its own best place would block the others, those put back first pay a toll
// for what the others held, and now and then on random stretches. How dear the
// outcome may be is drawn beforehand, which ends hopeless moves early. The best
// plan is replaced only by a cheaper one, and nothing depends on the budget:
// more steps are never worse.
//
// Bounds (pricer) come from every job alone in an empty kitchen, raised by
// Lagrangian prices on scarce resources.
//
// # Literature
//
//   - Artigues, Huguet, Lopez: Generalized disjunctive constraint propagation for
//     solving the job shop problem with time lags, Engineering Applications of
//     Artificial Intelligence 24 (2011): insertion suits tight lags.
//   - Pralet, Verfaillie: Time-dependent simple temporal networks, ICAPS 2014:
//     windows that never fall keep propagation exact.
//   - Möhring, Schulz, Stork, Uetz: Solving project scheduling problems by minimum
//     cut computations, Management Science 49 (2003): the bound.
package solve
