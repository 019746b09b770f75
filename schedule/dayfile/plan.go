package dayfile

import (
	"time"

	"ovenward/schedule"
)

// DecodePlan reads a plan file, its instants in the plan's own zone. Whether the
// plan holds is for [schedule.Check]. File is its name in errors, which are
// [Errors].
func DecodePlan(file string, data []byte) (*schedule.Plan, error) {
	r := reader{file: file, data: data}
	p := new(schedule.Plan)
	if err := r.decode(schedule.PlanFormat, p); err != nil {
		return nil, err
	}
	loc, err := time.LoadLocation(p.Zone)
	if err != nil || p.Zone == "" || p.Zone == "Local" {
		r.fault(r.find("zone"), "zone", quote(p.Zone)+" is not a time zone", `write the zone by its IANA name, such as "Europe/Dublin"`)
		return nil, r.errs
	}
	schedule.Relocate(p, loc)
	return p, nil
}

// EncodePlan writes a plan file.
func EncodePlan(p *schedule.Plan) ([]byte, error) {
	c := *p
	c.Format = schedule.PlanFormat
	return encode(c)
}
