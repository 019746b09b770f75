package schedule

import (
	"fmt"

	"ovenward/schedule/unit"
)

// learned looks at what earlier days are said to have taught.
func (v *inspection) learned() {
	for i, l := range v.day.Learned {
		where := fmt.Sprintf("learned[%d]", i)
		_, base := v.day.Base(l.Dough)
		_, bread := v.day.Bread(l.Dough)
		v.want(base || bread, where+".dough", fmt.Sprintf("there is no dough %q", l.Dough), "name a base or a bread of this day by its id")
		v.pace(where, l.Pace)
		if l.Proof != (Pace{}) {
			v.pace(where+".proof", l.Proof)
		}
		for _, k := range []struct {
			field string
			by    unit.Kelvins
		}{{".friction", l.Friction}, {".warmer", l.Warmer}} {
			v.within(where+k.field, float64(k.by), -4, 4, fmt.Sprintf("a dough does not come off the mixer %v K away from what is wanted, day for day", float64(k.by)), "give -4 to 4, or leave it out and look at thermometer and scales")
		}
	}
}

func (v *inspection) pace(where string, p Pace) {
	v.within(where+".speed", p.Speed, 0.5, 2, fmt.Sprintf("no dough was seen to rise %v times as fast as forecast", p.Speed), "give 0.5 to 2; 1 is as forecast")
	if p.ColdSpeed != 0 {
		v.within(where+".cold_speed", p.ColdSpeed, 0.5, 2, fmt.Sprintf("no dough was seen to rise %v times as fast as forecast", p.ColdSpeed), "give 0.5 to 2, or leave it out; 1 is as forecast")
	}
	v.within(where+".sd", p.SD, 0.03, 0.8, fmt.Sprintf("a spread of %v cannot be learnt", p.SD), "give 0.03 to 0.8, such as 0.25")
	for _, s := range []struct {
		field string
		sd    float64
	}{{".sd_cool", p.Cool}, {".sd_cold", p.Cold}} {
		if s.sd != 0 {
			v.within(where+s.field, s.sd, 0.03, 0.8, fmt.Sprintf("a spread of %v cannot be learnt", s.sd), "give 0.03 to 0.8, such as 0.5, or leave it out")
		}
	}
}
