package view

import (
	"fmt"
	"math"
	"net/url"

	"github.com/a-h/templ"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Offered is an offer of choices that waits for a decision.
type Offered struct {
	What, Link string
	Fridge     string // what goes there, where a choice has it; else ""
	Version    int
	Said       int
	At         int64
}

// Offering words an offer for the cards.
func (m *Picture) Offering(cs []schedule.Choice, said int, at int64) *Offered {
	o := &Offered{Version: m.Version, Said: said, At: at, Link: "See what can be done"}
	if len(cs) > 1 {
		o.Link = fmt.Sprintf("See the %d choices", len(cs))
	}
	if len(cs) > 0 {
		x := ChoicesModel{Old: *m}
		o.What = "Best found: " + lower(m.Words.Choice(cs[0].Kind)) + ". " + x.costs(&cs[0])[0]
	}
	if x := (ChoicesModel{Choices: cs}); x.afterLoss() {
		o.What = "Dough was thrown away. Say whether it is made again or left out."
	}
	for i := range cs {
		if c := &cs[i]; c.Kind == schedule.PutInCold {
			for _, r := range c.Rescues {
				if r.Kind == schedule.ChillAWhile {
					o.Fridge = fmt.Sprintf("%s, %s", r.Name, span(r.From, r.To))
				}
			}
		}
	}
	return o
}

// happened names what happens to a day in short.
var happened = map[schedule.SlipKind]string{
	schedule.RoomIs: "Temperature of a place", schedule.OvenOut: "Oven out of use", schedule.OvenSlow: "Slow oven", schedule.Away: "Somebody away", schedule.Stays: "Somebody there longer", schedule.AsUsual: "Usual hours again",
	schedule.OrderAdded: "Order added", schedule.OrderRaised: "Order raised", schedule.OrderDropped: "Order dropped",
	schedule.OrderLowered: "Order for fewer", schedule.OrderLater: "Promised later", schedule.DoughLost: "Thrown away",
	schedule.WasWarm: "Measured", schedule.Volume: "Volume seen",
}

// answerButton is a button that says it all.
type answerButton struct{ do, word string }

func further(minutes int) answerButton {
	return answerButton{fmt.Sprintf("not-yet %d", minutes), unit.Minutes(minutes).String()}
}

func since(kind string, minutes int) answerButton {
	return answerButton{fmt.Sprintf("%s %d", kind, minutes), ago(minutes)}
}

// whiles say that something lasts so long from now.
func whiles(kind string) (out []answerButton) {
	for _, n := range []int{15, 30, 60, 120} {
		out = append(out, answerButton{fmt.Sprintf("%s %d", kind, n), unit.Minutes(n).String()})
	}
	return out
}

// warmer are degrees by which a place is off its forecast.
func warmer() (out []answerButton) {
	for _, d := range []int{-2, 2, 3, 5} {
		word := "warmer"
		if d < 0 {
			word = "colder"
		}
		out = append(out, answerButton{fmt.Sprintf("place %+d", d), fmt.Sprintf("%d\u00a0°C %s", max(d, -d), word)})
	}
	return out
}

func volumes() []answerButton {
	var out []answerButton
	for _, v := range []float64{1.25, 1.5, 1.75, 2, 2.25, 2.5, 3} {
		out = append(out, answerButton{fmt.Sprintf("volume %g", v), fmt.Sprintf("%g×", v)})
	}
	return out
}

// warmths are temperatures about the one wanted off the mixer.
func warmths(t *schedule.Task) []answerButton {
	middle := 25.0
	if t.Celsius > 0 {
		middle = math.Round(float64(t.Celsius))
	}
	var out []answerButton
	for d := -4.0; d <= 4; d++ {
		out = append(out, answerButton{fmt.Sprintf("temperature %g", middle+d), unit.Celsius(middle + d).String()})
	}
	return out
}

// skippable is what bread can be made without.
func skippable(t *schedule.Task) bool {
	switch t.Kind {
	case schedule.Fold, schedule.KnockBack, schedule.Round, schedule.Score, schedule.Prepare, schedule.Finish:
		return true
	}
	return false
}

// ripens says whether a task is a rise, or ends one and is not begun.
func (m *Picture) ripens(t *schedule.Task) bool {
	return !m.Begun[t.ID] && (t.Kind.Rises() || RiseBefore(m.Plan.Tasks, t.ID) != t.ID)
}

func slipHref(p Page, task string) templ.SafeURL {
	return templ.SafeURL(p.Day.At("/slip?task=" + url.QueryEscape(task)))
}

// when says when a task is, and how long it may take.
func (m *Picture) when(t *schedule.Task) string {
	if t.Window != nil {
		return "rising since " + Clock(t.Start, m.Now) + " · " + m.window(t)
	}
	span := func(t *schedule.Task) string { return Clock(t.Start, m.Now) + "–" + Clock(t.End, t.Start) }
	s := "planned for " + span(t)
	if was := m.planned(t); !was.Start.Equal(t.Start) || !was.End.Equal(t.End) {
		s = span(t) + " (planned for " + span(was) + ")"
	}
	if t.TooFar != nil {
		s += " · fine until " + Clock(*t.TooFar, m.Now)
	}
	return s
}

// planned is a task as it was planned, before anything was said.
func (m *Picture) planned(t *schedule.Task) *schedule.Task {
	if m.Planned == nil {
		return t
	}
	if was := m.Planned.Task(t.ID); was != nil {
		return was
	}
	return t
}

// window says when a rise may be ended.
func (m *Picture) window(t *schedule.Task) string {
	if t.Window == nil {
		return "until " + Clock(t.End, m.Now)
	}
	return "ready " + Clock(t.Window.Ready, m.Now) + " · best " + Clock(t.Window.Best, m.Now) + " · too far " + Clock(t.Window.TooFar, m.Now)
}

func placeNow(m Picture) []Option {
	var out []Option
	for _, p := range m.Day.Kitchen.Places {
		out = append(out, Option{p.Name, fmt.Sprintf("%s, forecast %s", p.Name, p.At(float64(60*m.Now.Hour()+m.Now.Minute())))})
	}
	return out
}

func ovenOptions(k *schedule.Kitchen) []Option {
	var out []Option
	for _, o := range k.Ovens {
		out = append(out, Option{o.Name, o.Name})
	}
	return out
}

func bakerOptions(k *schedule.Kitchen) []Option {
	var out []Option
	for _, b := range k.Bakers {
		out = append(out, Option{b.Name, b.Name})
	}
	return out
}

func orderOptions(m Picture) []Option {
	var out []Option
	for i := range m.Day.Orders {
		out = append(out, Option{itoa(i), m.orderName(i)})
	}
	return out
}
