// Package webtest holds what the tests of package web share: a planned day, a
// store in memory, and questions to a page.
package webtest

import (
	"context"
	"encoding/json"
	"sync"

	"ovenward/schedule"
	"ovenward/testdata"
)

// Example is the example day, planned once for all tests.
var Example = sync.OnceValues(func() (*Planned, error) { return Plan(testdata.Example) })

// Planned is a day with its plan and the traces of its doughs.
type Planned struct {
	Day    schedule.Day
	Plan   schedule.Plan
	Traces []schedule.Trace
}

// Plan reads a day file and plans it.
func Plan(file []byte) (*Planned, error) {
	var p Planned
	if err := json.Unmarshal(file, &p.Day); err != nil {
		return nil, err
	}
	var err error
	if p.Plan, err = schedule.PlanDay(context.Background(), &p.Day, p.Day.Settings); err != nil {
		return nil, err
	}
	p.Traces, err = schedule.Traces(&p.Day, &p.Plan)
	return &p, err
}
