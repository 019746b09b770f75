package view

import (
	"cmp"
	"encoding/json"
	"fmt"

	"ovenward/schedule"
)

// API is what the page for other programs takes its examples from.
type API struct {
	Base    string         // address of this program, without a last stroke
	Day     int64          // a day to come with a plan; 0 for none
	Order   schedule.Order // one of it
	Version int            // of its plan
	Task    string         // one of its plan
	Key     string         // that no request had
}

// apiCall is one thing a program may ask, with an example for a shell.
type apiCall struct{ At, What, Example string }

// keyed is a request from elsewhere.
func (m API) keyed() string { return "curl -H 'Authorization: Bearer KEY' " + m.Base + "/api/days" }

func (m API) day() string { return fmt.Sprintf("%s/api/days/%d", m.Base, cmp.Or(m.Day, 1)) }

func (m API) reads() []apiCall {
	return []apiCall{
		{"GET /api/days", "The days, newest first: id, name, date, zone, orders (how many), plan (its version, 0 for none), rehearsal, example. ?q= looks for a name or date.",
			"curl " + m.Base + "/api/days"},
		{"GET /api/days/ID", "A day with all it is planned from, as a day file (ovenward-day/1).",
			"curl -o day.json " + m.day()},
		{"GET /api/days/ID/plan", "Its newest plan, as a plan file (ovenward-plan/1), the same as “ovenward plan -json” prints. The header Ovenward-Plan-Version tells its version.",
			"curl -i " + m.day() + "/plan"},
		{"GET /api/breads", "Base doughs and breads, as in a day file. ?q= looks for a name.",
			"curl '" + m.Base + "/api/breads?q=loaf'"},
	}
}

func (m API) does() []apiCall {
	order := map[string]any{"bread": cmp.Or(m.Order.Bread, "rye"), "pieces": 1}
	if m.Order.Ready != "" {
		order["cool_by"] = m.Order.Ready
	} else {
		order["out_by"] = cmp.Or(m.Order.Out, "2026-11-28T09:00")
	}
	tap := map[string]any{"version": cmp.Or(m.Version, 1), "task": cmp.Or(m.Task, "A.2"), "kind": "ack"}
	return []apiCall{
		{"POST /api/plan", "A day file; the answer is its plan file. Nothing is stored.",
			"curl -H 'Content-Type: application/json' --data-binary @day.json " + m.Base + "/api/plan"},
		{"POST /api/days/ID/orders", "An order as in a day file. It is added to the day and the day is planned; the answer is the plan file. If it cannot be planned, nothing is changed.",
			m.post("order", order, "orders")},
		{"POST /api/days/ID/taps", "What happened to a task, with the version of the plan it is said of: planning a day makes a new one. Kinds: ack (on it), start, done, skip, ready, not-yet (with minutes), over, dough-lost (its dough is thrown away), undo (with of: the key of the tap). What is begun or done an hour or more ahead of its time, or before its dough is mixed, is answered 409 with a question; sent again with \"sure\": true it is taken. The answer says whether it was stored and whether a promise is endangered by it.",
			m.post("tap", tap, "taps")},
	}
}

// post is a request that says something of the day.
func (m API) post(what string, v any, to string) string {
	data, _ := json.Marshal(v) // of text and numbers
	return fmt.Sprintf("curl -H 'Content-Type: application/json' -H 'Idempotency-Key: %s-%s' -d '%s' %s/%s", what, m.Key, data, m.day(), to)
}
