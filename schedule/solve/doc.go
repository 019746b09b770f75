// Package solve is a generic scheduler in integers: jobs are trees of
// operations tied by waits of bounded, possibly time-dependent length; they
// share renewable resources and machines with states.
package solve
