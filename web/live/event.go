package live

// Event is something the screens want to know of. It tells that something has
// changed and enough to decide whether to look; the state itself is on the page.
type Event interface {
	// Kind is the event's name in the stream.
	Kind() string
}

// Plan says that a day has a new plan.
type Plan struct {
	Day     int64 `json:"day"`
	Version int   `json:"version"`
}

// Alert says that calls ring: all that do at once, the most urgent first.
type Alert struct {
	Now        int64  `json:"now"`            // Unix milliseconds, the program's clock
	CatchUp    bool   `json:"catch_up"`       // some are old: the program or the computer was asleep
	Class      string `json:"class"`          // of the most urgent now: "A", "B" or "C"
	Everywhere bool   `json:"everywhere"`     // also on screens that ring only for what has waited
	Calls      []Call `json:"calls"`          // a few
	More       int    `json:"more,omitempty"` // not listed
}

// Call is one call that rings.
type Call struct {
	ID     int64  `json:"id"`
	Day    int64  `json:"day"`
	Task   string `json:"task"`
	Kind   string `json:"kind"`
	Name   string `json:"name"`  // of the dough or bread
	Stage  string `json:"stage"` // of the task
	Class  string `json:"class"` // now
	State  string `json:"state"` // "due", "acked", "missed" or "past"
	Ring   int    `json:"ring"`  // 1, 2, ...
	Baker  string `json:"baker,omitempty"`
	Due    int64  `json:"due"`               // Unix milliseconds
	TooFar int64  `json:"too_far,omitempty"` // Unix milliseconds
}

// Tap says that someone has tapped something on a day.
type Tap struct {
	Day  int64  `json:"day"`
	Task string `json:"task"`
	Tap  string `json:"tap"` // kind of tap
}

// Resync says that a page must not trust what it shows and load it again.
type Resync struct {
	Reason string `json:"reason"`            // "clock": it jumped; "missed": events were; "changed": more than a day; "damaged": the database
	StepMS int64  `json:"step_ms,omitempty"` // how far the clock jumped
	Now    int64  `json:"now"`               // Unix milliseconds
}

// Hello opens every stream, so that the browser can reckon with the program's
// clock.
type Hello struct {
	Now int64 `json:"now"` // Unix milliseconds
}

// The kinds.
func (Plan) Kind() string   { return "plan" }
func (Alert) Kind() string  { return "alert" }
func (Tap) Kind() string    { return "tap" }
func (Resync) Kind() string { return "resync" }
func (Hello) Kind() string  { return "hello" }
