package schedule

import (
	"time"

	"ovenward/schedule/unit"
)

// Trace is how one dough, or one portion of it after the parting, rises and
// warms through a plan.
type Trace struct {
	Batch   string       `json:"batch"`
	Portion string       `json:"portion,omitempty"` // "" while the dough is whole
	Part    string       `json:"part,omitempty"`    // a preferment
	Points  []TracePoint `json:"points"`
}

// TracePoint is the dough at one moment.
type TracePoint struct {
	At        time.Time    `json:"at"`
	Expansion float64      `json:"expansion"` // volume against the dough just mixed
	Mean      unit.Celsius `json:"mean_celsius"`
	Core      unit.Celsius `json:"core_celsius"`
	Place     string       `json:"place"`
	Task      string       `json:"task"` // ID of the task under way
}
