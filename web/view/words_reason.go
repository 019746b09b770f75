package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Reason says why a task is when it is and not later.
func (w Words) Reason(r *schedule.Reason, day time.Time) string {
	at, after := "", " then"
	if r.At != nil {
		at, after = " at "+Clock(*r.At, day), " from "+Clock(*r.At, day)
	}
	of := orElse(r.Of, "it")
	name := orElse(r.Name, "the bread")
	switch r.Code {
	case schedule.ByPromise:
		return upper(fmt.Sprintf("%s is promised%s", name, at))
	case schedule.ByTooFar:
		return fmt.Sprintf("Later %s would go too far%s", name, at)
	case schedule.ByReady:
		return fmt.Sprintf("%s is not ready sooner than%s", upper(name), orElse(at, " this"))
	case schedule.ByHands:
		return upper(of) + " is busy or away" + after
	case schedule.ByOven:
		if r.Name == "" { // it is lit
			return upper(of) + " must be hot" + at
		}
		return upper(of) + " is taken or at another heat" + after
	case schedule.ByMixer:
		return upper(of) + " is taken" + after
	case schedule.ByNext:
		return "The next stage follows at once"
	case schedule.ByNow:
		return "Nothing can begin before now"
	case schedule.ByBest:
		return "So that the next rise is acted on at its best"
	case schedule.ByFresh:
		return "Kept close to its promise, so that it is fresh"
	}
	return string(r.Code)
}

// Binding says what stands in the way of a day's promises.
func (w Words) Binding(r *schedule.Reason) string {
	what := "the doughs need longer than there is"
	switch r.Code {
	case schedule.ByHands:
		what = "there are not enough hands"
	case schedule.ByOven:
		what = "there is not enough room in the oven"
	case schedule.ByMixer:
		what = "the mixer is taken for too long"
	case schedule.BySpace:
		what = "there is not enough room in " + orElse(r.Of, "a place")
	case schedule.ByTin:
		what = "there are not enough of " + orElse(r.Of, "the "+w.Tin()+"s")
	case schedule.ByTray:
		what = "there are not enough of " + trays(r.Of)
	case schedule.ByNow:
		what = "it is too late to begin"
	}
	return "What stands in the way: " + what + "."
}

// Broken says how a plan does not hold.
func (w Words) Broken(v schedule.Violation, day time.Time) string {
	of, by, at := orElse(v.Of, "something"), unit.Minutes(v.By).String(), Clock(v.At, day)
	switch v.Code {
	case schedule.BadTask:
		return fmt.Sprintf("At %s a stage of %s is missing, doubled or out of order.", at, of)
	case schedule.BadDuration:
		return fmt.Sprintf("At %s %s is not given the time it takes.", at, of)
	case schedule.BadWait:
		return fmt.Sprintf("At %s %s waits %s too short or too long.", at, of, by)
	case schedule.TooEarly:
		return fmt.Sprintf("At %s %s is taken %s before it is ready.", at, of, by)
	case schedule.TooLate:
		return fmt.Sprintf("At %s %s has been too far for %s.", at, of, by)
	case schedule.HandsClash:
		return fmt.Sprintf("At %s %s has two things to do at once, for %s.", at, of, by)
	case schedule.OffHours:
		return fmt.Sprintf("At %s %s is not at work, away or does not do this.", at, of)
	case schedule.MixerClash:
		return fmt.Sprintf("At %s %s has two doughs, or too much, in its bowl.", at, of)
	case schedule.OvenFull:
		if v.Deck > 0 {
			return fmt.Sprintf("At %s deck %d of %s has %s more on it than it takes.", at, v.Deck, of, atLeast(v.Over))
		}
		return fmt.Sprintf("At %s there are more trays than %s takes.", at, of)
	case schedule.OvenHeat:
		return fmt.Sprintf("At %s %s is not at its heat; %s are missing.", at, of, by)
	case schedule.SpaceFull:
		return fmt.Sprintf("At %s there is more than %s takes.", at, of)
	case schedule.TinsOut:
		return fmt.Sprintf("At %s more %ss are in use than there are (%s).", at, w.Tin(), of)
	case schedule.TraysOut:
		return fmt.Sprintf("At %s more of %s are in use than there are.", at, trays(v.Of))
	case schedule.LatePromise:
		return fmt.Sprintf("%s comes %s after its promise, at %s.", upper(of), by, at)
	case schedule.BeforeNow:
		return fmt.Sprintf("%s would have had to begin at %s; that is past.", upper(of), at)
	case schedule.ShortOrder:
		return fmt.Sprintf("Of %s there are fewer or more pieces than ordered.", of)
	}
	return string(v.Code) + " " + at
}

// atLeast is a share in percent, rounded up.
func atLeast(share float64) string { return fmt.Sprintf("%.0f\u00a0%%", math.Ceil(share*100-1e-9)) }

// WayOut says what would help, and how much lateness remains.
func (w Words) WayOut(o schedule.WayOut) string {
	left := "then nothing is late."
	if o.Late > 0 {
		left = "then " + o.Late.String() + " of lateness remain."
	}
	switch o.Code {
	case "stay":
		if len(o.Asked) == 0 {
			break
		}
		return asked(o.Asked, o.Asked[0].From) + ": " + left + rested(o.Asked)
	case "hands":
		if o.From != nil && o.To != nil {
			return fmt.Sprintf("With one more pair of hands from %s to %s: %s", Clock(*o.From, *o.To), Clock(*o.To, *o.To), left)
		}
		return "With one more pair of hands: " + left
	case "earlier":
		return fmt.Sprintf("With everybody there %s sooner: %s", o.By, left)
	case "chill":
		return "With the shaped pieces of " + orElse(o.Of, "the bread") + " in the cold overnight: " + left
	case "oven":
		return "With a second oven like the one there is: " + left
	case "mixer":
		return "With one more mixer: " + left
	case "space":
		return "With twice the room in " + orElse(o.Of, "the place") + ": " + left
	case "tins":
		return "With twice as many of " + orElse(o.Of, "the "+w.Tin()+"s") + ": " + left
	case "trays":
		return "With twice as many of " + trays(o.Of) + ": " + left
	case "promise":
		return fmt.Sprintf("With %s promised %s later: %s", orElse(o.Of, "everything"), o.By, left)
	case "smaller":
		return fmt.Sprintf("Make %d fewer of %s: %s", o.Pieces, orElse(o.Of, "it"), left)
	}
	return upper(o.Code) + " " + o.Of + ": " + left
}

// trays are those of a name, or the usual ones.
func trays(of string) string {
	if of == "" {
		return "the usual trays"
	}
	return "the trays “" + of + "”"
}

// Note is a remark that breaks nothing.
func (w Words) Note(n schedule.Note, day time.Time) string {
	of, at := orElse(n.Of, "a dough"), ""
	if n.At != nil {
		at = " at " + Clock(*n.At, day)
	}
	switch n.Code {
	case "below-mixer":
		return fmt.Sprintf("%s is less than the mixer kneads well; mix it by hand, or more of it.", upper(of))
	case "yeast-hot":
		return fmt.Sprintf("The water for %s would be warmer than yeast likes; warm the flour instead.", of)
	case "cold-range":
		return fmt.Sprintf("%s is held colder or longer than the forecast is sure of; look at it sooner.", upper(of))
	case "clocks-change":
		return fmt.Sprintf("Clocks change%s. The durations are right; the clock will seem an hour off.", at)
	case "alert-load":
		return fmt.Sprintf("Many calls come close together%s: %g within %s.", at, n.Num, n.By)
	case "late-fold":
		return fmt.Sprintf("%s: its fold after %s comes when the dough has been ready for about %s; fold sooner, or leave it out.", upper(of), unit.Minutes(n.Num), n.By)
	case "split":
		return fmt.Sprintf("%s is split over %g loads or mixes.", upper(of), n.Num)
	}
	return upper(n.Code) + ": " + of + at
}

// Outcome is the first line about a plan.
func (w Words) Outcome(o schedule.Outcome) string {
	switch {
	case len(o.Broken) > 0 && o.LateTotal > 0:
		return "This day cannot be kept as wished. Here is the nearest plan, " + o.LateTotal.String() + " late."
	case len(o.Broken) > 0:
		return "This day cannot be kept as wished. Here is the nearest plan."
	case o.LateTotal > 0 && o.LeastLate:
		return o.LateTotal.String() + " late in all; no plan is less late."
	case o.LateTotal > 0 && o.Brief:
		return o.LateTotal.String() + " late in all, after a short search."
	case o.LateTotal > 0:
		return o.LateTotal.String() + " late in all; the least found."
	}
	return "Every promise is kept."
}

// Unsought says what was not looked for where a plan was made by a short search.
const Unsought = "The search for this plan was cut short, so that you need not wait. Better ones, what is in the way and what would help were not all looked for."

// Spent says how the day's work lies.
func (w Words) Spent(o schedule.Outcome) string {
	if o.WorkStart.IsZero() { // all of it was thrown away
		return "No work is left in it."
	}
	return fmt.Sprintf("Work from %s to %s; hands are busy for %s; the longest pause is %s.",
		clock(o.WorkStart), Clock(o.WorkEnd, o.WorkStart), o.HandsTotal, o.Pause)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
