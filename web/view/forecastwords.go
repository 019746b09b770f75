package view

import "ovenward/schedule"

func bestAfter(t *schedule.Task) string {
	_, best, _ := t.Range()
	return best.String()
}

func rangeAfter(t *schedule.Task) string {
	low, _, high := t.Range()
	return low.String() + " to " + high.String()
}
