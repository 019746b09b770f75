package schedule_test

import (
	"slices"

	"ovenward/schedule"
)

type person struct {
	*schedule.Baker
	until  int // busy
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
