package web

import (
	"context"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/store/record"
)

// Store is what the pages need remembered. Errors a person can do something
// about are *record.Error; what is not there is record.ErrNotFound.
type Store interface {
	library
	days
	running
	entrances
	archive

	ClearExample(ctx context.Context) error // removes what is marked as an example
	KeepExample(ctx context.Context) error  // makes it the baker's own
	Setting(ctx context.Context, key string) (string, error)
	SetSetting(ctx context.Context, key, value string) error
}

// library is what is kept for all days.
type library interface {
	Kitchen(ctx context.Context) (schedule.Kitchen, error) // the zero one before the first
	SaveKitchen(ctx context.Context, k schedule.Kitchen) error
	Named(ctx context.Context) (record.Named, error)
	// RenameKitchen also has breads, doughs and readings follow the names.
	RenameKitchen(ctx context.Context, k schedule.Kitchen, names schedule.Renames) error

	Bases(ctx context.Context) ([]schedule.Base, error) // by name
	Base(ctx context.Context, id string) (schedule.Base, error)
	SaveBase(ctx context.Context, b schedule.Base) error
	DeleteBase(ctx context.Context, id string) error

	FindBreads(ctx context.Context, f record.Find) (some []schedule.Bread, all int, err error)
	BreadNames(ctx context.Context) ([]record.Name, error) // by name
	Bread(ctx context.Context, id string) (schedule.Bread, error)
	SaveBread(ctx context.Context, b schedule.Bread) error
	DeleteBread(ctx context.Context, id string, now time.Time) error

	Foods(ctx context.Context) (dough.Library, error) // the baker's own, by ID
	SaveFood(ctx context.Context, f dough.Food) error
	DeleteFood(ctx context.Context, id string) error
	FoodUsers(ctx context.Context, food string, deleted bool) ([]string, error) // names of the breads and bases it is in
}

// days are the days as the baker wished them.
type days interface {
	Days(ctx context.Context) ([]record.Day, error)                  // by date
	DaysFrom(ctx context.Context, date string) ([]record.Day, error) // or the last one before
	FindDays(ctx context.Context, f record.Find) (some []record.Day, all int, err error)
	DayRecord(ctx context.Context, id int64) (record.Day, error)
	BeginDay(ctx context.Context, key string, d record.Day, now time.Time) (id int64, begun bool, err error) // not where the key came before
	Sent(ctx context.Context, key string) (bool, error)                                                      // whether it came before
	TakeOrder(ctx context.Context, key string, d record.Day, now time.Time) error                            // d with the order
	ReturnOrder(ctx context.Context, key string, d record.Day) error                                         // d without it, the key forgotten
	SaveDay(ctx context.Context, d record.Day) error
	DeleteDay(ctx context.Context, id int64) error
	Day(ctx context.Context, id int64, now time.Time) (schedule.Day, error) // with all it is planned from

	StandingOrders(ctx context.Context) ([]record.Standing, error) // by time of the clock
	SaveStanding(ctx context.Context, o schedule.Standing, now time.Time) error
	DeleteStanding(ctx context.Context, id string) error
	Comings(ctx context.Context, from string) ([]record.Coming, error)           // days made from them, by date
	MakeDay(ctx context.Context, d record.Day, again bool) (id int64, err error) // 0: it was made before
	JoinDay(ctx context.Context, d record.Day, c record.Coming) error
	RenewDay(ctx context.Context, c record.Coming) (done bool, err error) // not where the baker has touched it
}

// running is a day under way: its plan, its calls, the taps at the bench.
type running interface {
	SavePlan(ctx context.Context, day int64, from schedule.Day, p schedule.Plan, alerts []schedule.Alert, now time.Time) (version int, err error)
	Plan(ctx context.Context, day int64) (record.Plan, error)                            // the newest
	FormerPlan(ctx context.Context, day int64, version int) (record.Plan, error)         // it, or one before
	Say(ctx context.Context, t record.Tap, more *schedule.Slip) (stored bool, err error) // a tap, and what it says beyond its own words
	SayAll(ctx context.Context, t record.Tap, all []schedule.Slip) error                 // what one touch says, all or nothing
	Running(ctx context.Context, day int64) (record.Running, error)
	Accept(ctx context.Context, day int64, key string, former int, from schedule.Day, p schedule.Plan, alerts []schedule.Alert, now time.Time) (version int, err error)
	Read(ctx context.Context, r record.Reading) error       // a temperature of a place
	Readings(ctx context.Context) ([]record.Reading, error) // by time
	ForgetReadings(ctx context.Context, place string) error
	Observe(ctx context.Context, day int64, all []record.Observation) error
	Observations(ctx context.Context) ([]record.Observation, error) // newest first
	Forget(ctx context.Context, dough string) error                 // "" = all
	Taps(ctx context.Context, day int64) ([]record.Tap, error)      // in order
	Alerts(ctx context.Context, day int64) ([]record.Alert, error)  // every call it ever had, by time
	AlertLog(ctx context.Context, day int64) ([]record.Transition, error)
}

// entrances is who may come in: from other machines, and which other programs.
type entrances interface {
	Passphrase(ctx context.Context) (hash string, err error) // "" = none is set
	BeginSession(ctx context.Context, token string, b record.Session) (id int64, err error)
	Session(ctx context.Context, token string, now time.Time) (record.Session, error)
	Sessions(ctx context.Context, now time.Time) ([]record.Session, error) // the newest first
	EndSession(ctx context.Context, id int64) error

	GivePass(ctx context.Context, secret string, p record.Pass) (id int64, err error)
	Pass(ctx context.Context, secret string, now time.Time) (record.Pass, error)
	Passes(ctx context.Context) ([]record.Pass, error) // the newest first
	EndPass(ctx context.Context, id int64) error
}
