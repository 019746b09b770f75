package view

// apiCall is one thing a program may ask.
type apiCall struct{ At, What string }

func apiReads() []apiCall {
	return []apiCall{
		{"GET /api/days", "The days, newest first: id, name, date, zone, orders (how many), plan (its version, 0 for none), rehearsal, example. ?q= looks for a name or date."},
		{"GET /api/days/ID", "A day with all it is planned from, as a day file (ovenward-day/1)."},
		{"GET /api/days/ID/plan", "Its newest plan, as a plan file (ovenward-plan/1), the same as “ovenward plan -json” prints. The header Ovenward-Plan-Version tells its version."},
		{"GET /api/breads", "Base doughs and breads, as in a day file. ?q= looks for a name."},
	}
}

func apiDoes() []apiCall {
	return []apiCall{
		{"POST /api/plan", "A day file; the answer is its plan file. Nothing is stored."},
		{"POST /api/days/ID/orders", "An order as in a day file, such as {\"bread\": \"rye\", \"pieces\": 4, \"out_by\": \"2026-11-28T09:00\"}. It is added to the day and the day is planned; the answer is the plan file. If it cannot be planned, nothing is changed."},
		{"POST /api/days/ID/taps", "What happened to a task, such as {\"version\": 3, \"task\": \"A.2\", \"kind\": \"done\"}. Kinds: ack (on it), start, done, skip, ready, not-yet (with minutes), over, dough-lost (its dough is thrown away), undo (with of: the key of the tap). What is begun or done an hour or more ahead of its time, or before its dough is mixed, is answered 409 with a question; sent again with \"sure\": true it is taken. The answer says whether it was stored and whether a promise is endangered by it."},
	}
}
