package schedule

import (
	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// Lane is a run of a batch's stages without a fork, laid out for tests that play
// a day with doughs of their own.
type Lane struct {
	ID      string // of the batch, or of the portion
	Part    string // a preferment or soaker
	Portion *Portion
	Bread   *Bread          // of a portion
	Dough   *simulate.Dough // nil where nothing ferments
	Tub     heat.Body       // what it is mixed into
	Trays   int             // or tubs: what it takes of a place
	Beats   []Beat          // works and waits as they follow each other
	recipe  string          // ID of the base or the bread
}

// Recipe is the ID that Learned knows the dough by.
func (l *Lane) Recipe() string { return l.recipe }

// Beat is a work or a wait.
type Beat struct {
	Task   string
	Stage  *Stage
	Fold   int     // 1.. for the folds of a rise
	Wait   bool    // else a work
	Share  float64 // of a rise with folds: to this share of the way
	Joins  bool    // the first mix, at which the parts come in
	Begins bool    // the yeast has met the flour at its end
	Handle rise.Handling
	Body   *heat.Body // the new form, where it changes
	InTin  bool
}

// Rises says whether the wait is a rise to its end.
func (b *Beat) Rises() bool { return b.Wait && b.Stage.Kind.Rises() && b.Share >= 1 }

// Goal is what a rise is waited for.
func (b *Beat) Goal(narrow bool) rise.Target { return b.Stage.goal(narrow, b.InTin).Target }

// Lanes lays batch i of a plan out: its parts, the whole dough, the portions.
func Lanes(d *Day, p *Plan, i int) (parts []*Lane, whole *Lane, portions []*Lane, err error) {
	bp, err := p.batchPlan(d, i)
	if err != nil {
		return nil, nil, nil, err
	}
	t := plant(d, bp)
	for _, st := range t.parts {
		parts = append(parts, laneOf(d, bp, st))
	}
	for _, st := range t.branches {
		portions = append(portions, laneOf(d, bp, st))
	}
	return parts, laneOf(d, bp, t.trunk), portions, nil
}

func laneOf(d *Day, b *batchPlan, st *strand) *Lane {
	l := &Lane{ID: st.id, Part: st.part, Dough: st.dough, Tub: d.Kitchen.inTub(st.mass), Trays: d.Kitchen.tubs(st.mass), recipe: b.recipe.id}
	if st.portion != nil {
		l.Portion, l.Bread, l.Trays = &st.portion.Portion, st.portion.bread, st.portion.Trays
	}
	for i, w := range st.works {
		if s := st.stage(w.stage); s != nil {
			beat := Beat{
				Task: st.taskID(w.stage, w.fold), Stage: s, Fold: w.fold, Handle: w.handling(st), InTin: st.inTin(),
				Joins: st.portion == nil && st.part == "" && i == mixOf(st), Begins: st.portion == nil && i == st.mixedAt(),
			}
			if body, changed := w.body(&d.Kitchen, st); changed {
				beat.Body = &body
			}
			l.Beats = append(l.Beats, beat)
		}
		if i < len(st.waits) && st.waits[i].stage >= 0 {
			wt := st.waits[i]
			if wt.minutes > 0 { // only on the way to a fold
				wt.share = 0
			}
			l.Beats = append(l.Beats, Beat{Task: st.taskID(wt.stage, 0), Stage: st.stage(wt.stage), Wait: true, Share: wt.share, InTin: st.inTin()})
		}
	}
	return l
}

// Transfer is how a place passes heat to dough, W/(m² K).
func (p *Place) Transfer() float64 { return p.transfer() }
