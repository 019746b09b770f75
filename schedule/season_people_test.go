package schedule_test

import (
	"context"
	"slices"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

type person struct {
	*schedule.Baker
	until  int // busy
	longer int // minutes there beyond the hours
	absent [][2]int
}

// absences places what befalls people at the tasks it befalls them at.
func (y *player) absences() {
	for _, a := range y.ill.absent {
		var theirs []int
		for _, t := range y.first.Tasks {
			if len(t.Hands) > 0 && t.Hands[0].Baker == y.people[a.baker].Name {
				theirs = append(theirs, y.minute(t.Start))
			}
		}
		if len(theirs) > 0 {
			from := theirs[int(a.share*float64(len(theirs)))]
			y.people[a.baker].absent = append(y.people[a.baker].absent, [2]int{from, from + a.minutes})
		}
	}
}

func (y *player) person(name string) *person {
	i := slices.IndexFunc(y.people, func(p person) bool { return p.Name == name })
	return &y.people[i]
}

// present says whether somebody is there to begin a work.
func (y *player) present(p *person) bool {
	if slices.ContainsFunc(p.absent, func(a [2]int) bool { return a[0] <= y.now && y.now < a[1] }) {
		return false
	}
	return p.AtWork(y.at(y.now), y.at(y.now+1))
}

// around says whether somebody can take bread out: after hours too, for a while.
func (y *player) around(p *person) bool {
	return y.present(p) || p.AtWork(y.at(y.now-stays), y.at(y.now-stays+1))
}

// free says whether anybody has a hand free.
func (y *player) free() *person { return y.freeOf(y.present) }

func (y *player) freeOf(there func(*person) bool) *person {
	for i := range y.people {
		if p := &y.people[i]; there(p) && p.until <= y.now {
			return p
		}
	}
	return nil
}

// A person says yes to no more than this, in all of a day; and nobody asks where it
// does not save an hour. Common practice, no source.
const (
	agreesTo  = 60 // minutes longer, each
	worthSave = 60 // minutes late
)

// askToStay asks people to be there longer where all choices are late by more than an
// hour, or break something, and gives the choices there are with those who agree: if
// it costs no more than an hour of each and saves at least one.
func (y *player) askToStay(ctx context.Context, cs []schedule.Choice) ([]schedule.Choice, error) {
	worst := func(c *schedule.Choice) (by unit.Minutes) {
		for _, l := range c.Late {
			by = max(by, l.By)
		}
		return by
	}
	if !*seasonAsk || !schedule.Stuck(cs) || worst(&cs[0]) < worthSave && len(cs[0].Broken) == 0 {
		return cs, nil
	}
	now := y.at(y.now)
	aids, err := schedule.Aids(ctx, y.day, &y.plan, y.log, now, cs, schedule.AidStay)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(aids, func(a schedule.Aid) bool {
		return !slices.ContainsFunc(a.Asked, func(x schedule.Asked) bool {
			return y.person(x.Baker).longer+int(x.Longer()) > agreesTo
		})
	})
	if i < 0 {
		return cs, nil
	}
	n := len(y.log)
	for _, s := range aids[i].Slips {
		y.say(s)
	}
	with, err := schedule.Replan(ctx, y.day, &y.plan, y.log, now, y.day.Settings)
	if err != nil {
		return nil, err
	}
	if with[0].LateTotal+worthSave > cs[0].LateTotal && len(with[0].Broken) >= len(cs[0].Broken) {
		y.log = y.log[:n] // it was not worth it
		return cs, nil
	}
	for _, a := range aids[i].Asked {
		p := y.person(a.Baker)
		there := *p.Baker
		there.Stays = append(slices.Clone(there.Stays), schedule.Span{From: schedule.WallOf(a.From), To: schedule.WallOf(a.To)})
		p.Baker, p.longer = &there, p.longer+int(a.Longer())
		y.r.longer += int(a.Longer())
	}
	y.r.asked++
	return with, nil
}
