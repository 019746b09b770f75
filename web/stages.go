package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/web/view"
)

// stageBegins is what a new stage of a kind begins with: common practice, no
// source, to be changed.
func stageBegins(kind schedule.StageKind) url.Values {
	switch kind {
	case schedule.Prepare:
		return url.Values{"minutes": {"15"}}
	case schedule.Mix:
		return url.Values{"minutes": {"10"}, "dough_celsius": {"25"}}
	case schedule.Rest:
		return url.Values{"least_minutes": {"10"}, "most_minutes": {"30"}}
	case schedule.Rise:
		return url.Values{"until.word": {string(schedule.Doubled)}}
	case schedule.Fold, schedule.KnockBack:
		return url.Values{"minutes": {"2"}}
	case schedule.Divide:
		return url.Values{"minutes": {"1"}, "seconds_per_piece": {"15"}}
	case schedule.Round:
		return url.Values{"seconds_per_piece": {"20"}}
	case schedule.Shape:
		return url.Values{"minutes": {"1"}, "seconds_per_piece": {"40"}}
	case schedule.Proof:
		return url.Values{"until.word": {string(schedule.ThreeQuarters)}}
	case schedule.Score:
		return url.Values{"minutes": {"3"}}
	case schedule.Bake:
		return url.Values{"steps[0].celsius": {"220"}, "steps[0].minutes": {"30"}}
	case schedule.Cool:
		return url.Values{"least_minutes": {"45"}, "most_minutes": {"600"}}
	case schedule.Finish:
		return url.Values{"minutes": {"5"}}
	}
	return nil
}

// stageAfter is what usually follows a kind of stage.
func stageAfter(kind schedule.StageKind) schedule.StageKind {
	switch kind {
	case schedule.Prepare, "":
		return schedule.Mix
	case schedule.Mix, schedule.Fold:
		return schedule.Rise
	case schedule.Rise, schedule.KnockBack:
		return schedule.Divide
	case schedule.Divide, schedule.Round:
		return schedule.Rest
	case schedule.Rest:
		return schedule.Shape
	case schedule.Shape:
		return schedule.Proof
	case schedule.Proof, schedule.Score:
		return schedule.Bake
	case schedule.Bake:
		return schedule.Cool
	}
	return schedule.Finish
}

// freshStage begins what usually follows in the method of a form: after the last
// stage, or after the one whose button is pressed.
func freshStage(f *view.Form) url.Values {
	at := view.Count(f.Values, "method") - 1
	if row, ok := strings.CutPrefix(f.Values.Get("do"), "put method "); ok {
		at, _ = strconv.Atoi(row)
	}
	last := schedule.StageKind(f.Values.Get(fmt.Sprintf("method[%d].kind", at)))
	kind := stageAfter(last)
	v := stageBegins(kind)
	v.Set("kind", string(kind))
	return v
}

// fillStages gives a stage whose kind was changed what its kind begins with, where
// nothing of that is filled in.
func fillStages(f *view.Form) {
	for i := range view.Count(f.Values, "method") {
		at := fmt.Sprintf("method[%d].", i)
		begins := stageBegins(schedule.StageKind(f.Values.Get(at + "kind")))
		empty := true
		for k := range begins {
			empty = empty && f.Values.Get(at+k) == ""
		}
		for k, v := range begins {
			if empty {
				f.Values[at+k] = v
			}
		}
	}
}
