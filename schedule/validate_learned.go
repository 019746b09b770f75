package schedule

import "fmt"

// learned looks at what earlier days are said to have taught.
func (v *inspection) learned() {
	for i, l := range v.day.Learned {
		where := fmt.Sprintf("learned[%d]", i)
		_, base := v.day.Base(l.Dough)
		_, bread := v.day.Bread(l.Dough)
		v.want(base || bread, where+".dough", fmt.Sprintf("there is no dough %q", l.Dough), "name a base or a bread of this day by its id")
		v.within(where+".speed", l.Speed, 0.5, 2, fmt.Sprintf("no dough was seen to rise %v times as fast as forecast", l.Speed), "give 0.5 to 2; 1 is as forecast")
		v.within(where+".sd", l.SD, 0.03, 0.8, fmt.Sprintf("a spread of %v cannot be learnt", l.SD), "give 0.03 to 0.8, such as 0.25")
	}
}
