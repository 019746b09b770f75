package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// Bell is what the calls of a day are shown from.
type Bell struct {
	All   []record.Alert // every call the day ever had
	Price func(task string, begin time.Time) unit.Minutes
	// Cold is what the fridge does for the dough of a call that nobody comes to,
	// nil for nothing.
	Cold func(a record.Alert) *Cold
}

// Cold is a choice that puts the dough of a call into the cold.
type Cold struct {
	From, To time.Time
	Late     unit.Minutes // of the order that is then latest
	Version  int
	Said     int
	At       int64
}

// CallCard is what one person is called to at one place, best done first.
type CallCard struct {
	Calls  []record.Alert
	Class  schedule.AlertClass // most urgent now
	Rings  bool                // nobody has answered
	Choose bool                // it has waited so long that it fills the screen
	Off    []PutOff            // how long the first can be put off
	Cold   *Cold               // into the fridge with the first
}

// PutOff is a snooze and by how many minutes a promise is then later.
type PutOff struct {
	Minutes int
	Price   unit.Minutes
}

// cards merges the calls that want something now.
func (b Bell) cards(now time.Time) []CallCard {
	active := slices.DeleteFunc(slices.Clone(b.All), func(a record.Alert) bool {
		return a.State == record.Scheduled || a.State == record.Done || a.State == record.Suppressed
	})
	var out []CallCard
	asked := false
	for _, group := range schedule.MergeAlerts(active, func(a record.Alert) schedule.Alert { return a.Alert }) {
		c := CallCard{Calls: group, Class: schedule.HeadsUp}
		for _, a := range group {
			c.Class = min(c.Class, a.ClassAt(now)) // "A" is the most urgent
			c.Rings = c.Rings || a.State == record.Rung
			c.Choose = c.Choose || a.State == record.Rung && a.Step(now) >= schedule.Choosing && a.Class != schedule.NowOrLost
		}
		c.Off = b.offers(group[0], now)
		if c.Choose && b.Cold != nil && !asked { // one is enough at a time
			c.Cold, asked = b.Cold(group[0]), true
		}
		out = append(out, c)
	}
	return out
}

func (b Bell) offers(a record.Alert, now time.Time) (out []PutOff) {
	if a.State != record.Rung && a.State != record.Acked {
		return nil
	}
	for _, m := range a.Snoozes(a.Heard, now) {
		out = append(out, PutOff{int(m), b.Price(a.Task, now.Add(time.Duration(m)*time.Minute))})
	}
	return out
}

// silent lists the calls of a card that somebody can still take on.
func (c CallCard) silent() (tasks []string) {
	for _, a := range c.Calls {
		if a.State != record.Acked && !slices.Contains(tasks, a.Task) {
			tasks = append(tasks, a.Task)
		}
	}
	return tasks
}

// coming lists when the day's calls ring next, as "milliseconds class", for a
// screen that has lost the program.
func (b Bell) coming() string {
	var out []string
	for _, a := range b.All {
		if !a.Next.IsZero() {
			out = append(out, fmt.Sprint(a.Next.UnixMilli(), " ", a.ClassAt(a.Next)))
		}
	}
	return strings.Join(out, ",")
}

// worst is the most urgent class of the cards nobody has answered, and how many
// they are.
func worst(cards []CallCard) (class schedule.AlertClass, n int) {
	for _, c := range cards {
		if c.Rings {
			if n++; class == "" || c.Class < class {
				class = c.Class
			}
		}
	}
	return class, n
}

// standing reports whether a call waits to be decided on.
func standing(a record.Alert) bool { return a.State == record.Missed || a.State == record.Past }

func (c CallCard) classes() []string {
	out := []string{"call", string(c.Class)}
	if c.Choose {
		out = append(out, "choose")
	}
	if slices.ContainsFunc(c.Calls, standing) {
		out = append(out, "standing")
	}
	return out
}

// done is the word on a call's own button; of several it says which.
func done(c CallCard, what string) string {
	if len(c.Calls) > 1 {
		return "Done: " + what
	}
	return "Done"
}
