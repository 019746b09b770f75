package store_test

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/store"
	"ovenward/store/bundle"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// lived is a store in which everything there is to remember has happened: a day
// planned twice, repaired, tapped, taken back, learned from; a bread deleted that
// a past day still has.
func lived(t *testing.T) *store.Store {
	t.Helper()
	ctx, s := t.Context(), storetest.Open(t)
	day := planned(t, s)
	savePlan(t, s, day, sampleAlerts(t)[1:], clock(t, "05:10"))
	must(s.ClaimDue(ctx, clock(t, "07:11")))(t)
	tap := func(id, task string, kind record.TapKind, of string, hhmm string) record.Tap {
		return record.Tap{ID: id, Day: day, Version: 2, Task: task, Kind: kind, Of: of, At: clock(t, hhmm), Recorded: clock(t, hhmm)}
	}
	for _, p := range []record.Tap{
		tap("t-1", "A.2", record.Ack, "", "07:12"),
		tap("t-2", "", record.Undo, "t-1", "07:13"),
		tap("t-3", "A.2", record.Started, "", "07:14"),
	} {
		must(s.Tap(ctx, p))(t)
	}
	slip := schedule.Slip{Kind: schedule.RoomIs, At: clock(t, "07:15"), Of: "bench", Celsius: 26, From: clock(t, "07:00")}
	must(s.Say(ctx, tap("t-4", "", "place", "", "07:15"), &slip))(t)
	must(s.Accept(ctx, day, "choice-1", 2, sampleDay(), samplePlan(t), sampleAlerts(t), clock(t, "07:16")))(t)
	must(0, s.Observe(ctx, day, []record.Observation{lesson("t-3", day), lesson("t-gone", day)}))(t)
	must(0, s.Forget(ctx, "sweet"))(t)
	must(0, s.Observe(ctx, day, []record.Observation{lesson("t-4", day)}))(t)
	must(0, s.SaveBread(ctx, sampleBread("stollen", "sweet")))(t)
	past := recordOf("stollen")
	past.Orders[0].Out, past.Room = "2025-12-05T08:00", []schedule.Reading{{At: 300, Celsius: 15.5}}
	must(s.CreateDay(ctx, past))(t)
	must(0, s.DeleteBread(ctx, "stollen", clock(t, "05:00")))(t)
	must(0, s.SaveStanding(ctx, everySaturday("bun"), clock(t, "05:00")))(t)
	must(s.MakeDay(ctx, madeDay("2026-12-05"), false))(t)
	gone := must(s.MakeDay(ctx, madeDay("2026-12-12"), false))(t)
	must(0, s.DeleteDay(ctx, gone))(t)
	for _, r := range []record.Reading{{ID: "t-4", At: clock(t, "07:15").UTC(), Minute: 435, Celsius: 26}, {ID: "r-1", Place: "fridge", At: clock(t, "07:20").UTC(), Minute: 440, Celsius: 4.5}} {
		must(0, s.Read(ctx, r))(t)
	}
	for _, f := range sampleFoods() {
		must(0, s.SaveFood(ctx, f))(t)
	}
	must(0, s.SetSetting(ctx, "words", "proof <b>punch</b> pan"))(t)
	must(0, s.SaveKitchen(ctx, sampleKitchen()))(t)
	return s
}

func lesson(tap string, day int64) record.Observation {
	return record.Observation{Day: day, Lesson: schedule.Lesson{Slip: tap, Task: "A.2", At: time.UnixMilli(1.79e12).UTC(), Dough: "sweet", Name: "Sweet dough",
		Observation: learn.Observation{Day: 20785, Bread: "sweet", Kind: learn.Temperature, Predicted: 26, Observed: 27.5, SD: 0.1, Allowed: 0.6}}}
}

func export(t testing.TB, s *store.Store) *bundle.Bundle {
	t.Helper()
	var file bytes.Buffer
	must(0, s.Export(context.Background(), &file, clock(t, "12:00")))(t)
	return must(bundle.Decode("ovenward.json", file.Bytes()))(t)
}

// throughFile is a bundle as another program run would read it.
func throughFile(t testing.TB, b *bundle.Bundle) *bundle.Bundle {
	t.Helper()
	var file bytes.Buffer
	if err := bundle.Encode(&file, b); err != nil {
		t.Fatal(err)
	}
	return must(bundle.Decode("ovenward.json", file.Bytes()))(t)
}

// arriving is a bundle on its way in from a file.
func arriving(t testing.TB, b *bundle.Bundle) *bundle.Arrival {
	t.Helper()
	var file bytes.Buffer
	must(0, bundle.Encode(&file, b))(t)
	return must(bundle.Read("ovenward.json", bundle.Bytes(file.Bytes())))(t)
}

// sameBundle compares without what each store numbers for itself.
func sameBundle(t testing.TB, what string, want, got *bundle.Bundle) {
	t.Helper()
	number := cmp.FilterPath(func(p cmp.Path) bool {
		s := p.String()
		return strings.HasSuffix(s, "ID") && strings.Contains(s, "Alerts") || strings.HasSuffix(s, "Log.Alert")
	}, cmp.Ignore())
	if diff := cmp.Diff(want, got, number, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

// What one store gave, another gives again.
func TestExportImport(t *testing.T) {
	want := export(t, lived(t))
	if len(want.Days) != 3 || len(want.Standing) != 1 || len(want.Foods) != 2 || len(want.Comings) != 2 || len(want.Readings) != 2 || len(want.Days[0].Plans) != 3 || len(want.Days[0].Slips) != 1 || len(want.Learned) != 3 || len(want.Days[0].Repairs) != 1 {
		t.Fatalf("the store is not what the test needs: %+v", want)
	}
	for _, replace := range []bool{false, true} {
		s := storetest.Open(t)
		backup := must(s.Import(t.Context(), arriving(t, want), replace, clock(t, "12:00")))(t)
		if _, err := os.Stat(backup); err != nil {
			t.Error(err)
		}
		sameBundle(t, "imported", want, export(t, s))
		if diff := bundle.Compare(must(want.Digest())(t), must(s.Digest(t.Context()))(t)); changes(diff) != 0 {
			t.Errorf("a preview finds changes: %+v", diff)
		}
	}
}

func changes(p bundle.Preview) (n int) {
	for _, c := range []bundle.Change{p.Kitchen, p.Bases, p.Breads, p.Days, p.Settings, p.Learned, p.Standing} {
		n += len(c.Added) + len(c.Replaced) + len(c.Here)
	}
	return n
}

// Taken in where it came from, nothing changes, not even the IDs of days, and an
// undo works as before.
func TestImportAgain(t *testing.T) {
	for _, replace := range []bool{false, true} {
		s := lived(t)
		want := export(t, s)
		must(s.Import(t.Context(), arriving(t, want), replace, clock(t, "12:00")))(t)
		sameBundle(t, "again", want, export(t, s))
	}
	s := lived(t)
	other := storetest.Open(t)
	must(other.Import(t.Context(), arriving(t, export(t, s)), true, clock(t, "07:17")))(t)
	undo := record.Tap{ID: "u", Day: 1, Version: 3, Kind: record.Undo, Of: "t-3", At: clock(t, "07:18"), Recorded: clock(t, "07:18")}
	must(s.Tap(t.Context(), undo))(t)
	must(other.Tap(t.Context(), undo))(t)
	if diff := cmp.Diff(states(t, s, 1), states(t, other, 1)); diff != "" {
		t.Errorf("undone here and there (-here +there):\n%s", diff)
	}
}

// Any library and any orders come back as they were, merged into an empty store
// or replacing another's.
func TestExportImportProperty(t *testing.T) {
	other := lived(t)
	for seed := range uint64(25) {
		want := randomBundle(rand.New(rand.NewPCG(seed, 7)))
		s := storetest.Open(t)
		must(s.Import(t.Context(), arriving(t, want), false, clock(t, "12:00")))(t)
		got := export(t, s)
		must(other.Import(t.Context(), arriving(t, got), true, clock(t, "12:00").Add(time.Duration(seed)*time.Hour)))(t)
		there := export(t, other)
		for i := range there.Days {
			for k := range there.Comings {
				if c := &there.Comings[k]; c.Day == there.Days[i].ID {
					c.Day = got.Days[i].ID
				}
			}
			there.Days[i].ID = got.Days[i].ID
		}
		sameBundle(t, "in another store", got, there)
		got.Made = want.Made
		sameBundle(t, "in an empty store", want, got)
	}
}

func randomBundle(r *rand.Rand) *bundle.Bundle {
	b := &bundle.Bundle{Made: time.UnixMilli(r.Int64N(4e12)).UTC()}
	if r.IntN(4) > 0 {
		b.Kitchen = &bundle.Kitchen{Kitchen: random[schedule.Kitchen](r), Example: r.IntN(2) == 0}
	}
	ids := []string{"a", "b-2", "c", "drop-table"}
	for _, id := range ids[:r.IntN(4)] {
		base := random[schedule.Base](r)
		base.ID = id
		b.Bases = append(b.Bases, bundle.Base{Base: base, Example: r.IntN(2) == 0})
	}
	for _, id := range ids {
		bread := random[schedule.Bread](r)
		bread.Name = id + "'; DROP TABLE bread; --\n<i>"
		if bread.ID, bread.Base = id, ""; len(b.Bases) > 0 && r.IntN(2) == 0 {
			bread.Base = b.Bases[0].ID
		}
		b.Breads = append(b.Breads, bundle.Bread{Bread: bread, Retired: id == "c", Example: r.IntN(2) == 0})
	}
	for i := range r.IntN(4) + 1 {
		d := record.Day{ID: int64(i + 1), Date: "2026-10-25", Name: "Day", Zone: dublin, Settings: random[schedule.Settings](r),
			Updated: time.UnixMilli(r.Int64N(4e12)).UTC(), Example: r.IntN(2) == 0}
		for _, id := range ids { // "c" is deleted and still on a day
			d.Orders = append(d.Orders, schedule.Order{Bread: id, Pieces: r.IntN(100), Ready: "2026-10-25T01:30+01:00", For: "<b>stall</b>"})
		}
		b.Days = append(b.Days, bundle.Day{Day: d})
		if i < 2 {
			b.Comings = append(b.Comings, bundle.Coming{Date: fmt.Sprintf("2026-10-2%d", i), Day: int64(i), Name: "<i>", Zone: dublin, Orders: d.Orders})
		}
	}
	for i, id := range ids[:r.IntN(4)] { // "c" is deleted, and still stands
		o := everySaturday(id)
		o.ID, o.For = fmt.Sprint(i), "'; DROP TABLE standing; --"
		b.Standing = append(b.Standing, o)
	}
	return b
}

// Merging keeps what is only here; replacing does not.
func TestImportModes(t *testing.T) {
	there := storetest.Open(t)
	must(0, there.SaveBread(t.Context(), sampleBread("loaf", "")))(t)
	changed := sampleBread("bun", "")
	changed.Piece = 99
	must(0, there.SaveBread(t.Context(), changed))(t)
	in := throughFile(t, export(t, there))

	here := lived(t)
	must(here.Import(t.Context(), must(in.Arrive())(t), false, clock(t, "12:00")))(t)
	got := export(t, here)
	if len(got.Days) != 3 || len(got.Bases) != 1 || got.Kitchen == nil || must(here.Bread(t.Context(), "bun"))(t).Piece != 99 {
		t.Errorf("merged: %d days, %d bases, kitchen %v", len(got.Days), len(got.Bases), got.Kitchen != nil)
	}
	must(here.Import(t.Context(), must(in.Arrive())(t), true, clock(t, "12:01")))(t)
	in.Made = clock(t, "12:00").UTC()
	sameBundle(t, "replaced", in, export(t, here))
}

// A bread deleted elsewhere is not deleted here, and one deleted here comes back.
func TestImportRetired(t *testing.T) {
	s := lived(t)
	in := throughFile(t, export(t, s))
	must(0, s.SaveBread(t.Context(), sampleBread("stollen", "sweet")))(t) // back again
	must(s.Import(t.Context(), must(in.Arrive())(t), false, clock(t, "12:00")))(t)
	must(s.Bread(t.Context(), "stollen"))(t)
}

// A day renamed here since the export is another day; its taps are its own.
func TestImportRenamedDay(t *testing.T) {
	s := lived(t)
	in := throughFile(t, export(t, s))
	d := must(s.DayRecord(t.Context(), 1))(t)
	d.Name = "Market, moved"
	must(0, s.SaveDay(t.Context(), d))(t)
	must(s.Import(t.Context(), must(in.Arrive())(t), false, clock(t, "12:00")))(t)
	got := export(t, s)
	if len(got.Days) != 4 {
		t.Fatalf("%d days, want 4", len(got.Days))
	}
	moved, fresh := got.Days[0], got.Days[3]
	if moved.Taps[0].ID != "t-1" || fresh.Taps[0].ID == "t-1" || fresh.Taps[1].Of != fresh.Taps[0].ID || fresh.Slips[0].ID != fresh.Taps[3].ID {
		t.Errorf("taps %+v and %+v", moved.Taps, fresh.Taps)
	}
	throughFile(t, got) // every reference leads somewhere
}

// What fails changes nothing, and the backup holds what was.
func TestImportFailsWhole(t *testing.T) {
	s := lived(t)
	want := export(t, s)
	in := throughFile(t, want)
	in.Breads[0].Piece = 1
	in.Days[1].Orders[0].Bread = "none"
	backup, err := s.Import(t.Context(), must(in.Arrive())(t), true, clock(t, "12:00"))
	if !errors.Is(err, record.ErrNotFound) {
		t.Errorf("error %v, want one about the bread", err)
	}
	sameBundle(t, "after a failure", want, export(t, s))
	old := must(store.Open(t.Context(), backup, time.Now))(t)
	defer old.Close()
	sameBundle(t, "backup", want, export(t, old))
}

// The newest few backups are kept.
func TestImportBackups(t *testing.T) {
	s := storetest.Open(t)
	var last string
	for i := range 5 {
		last = must(s.Import(t.Context(), must(new(bundle.Bundle).Arrive())(t), false, clock(t, "12:00").Add(time.Duration(i)*time.Second)))(t)
	}
	if all := must(filepath.Glob(filepath.Join(filepath.Dir(last), "backup-before-import-*.db")))(t); len(all) != 3 || !slices.Contains(all, last) {
		t.Errorf("backups %v", all)
	}
}

// Whoever adds a table decides whether it is exported. Who may come in from other
// machines or programs (passphrase, session, pass) is not, nor which forms were
// sent.
func TestEveryTableIsExported(t *testing.T) {
	s := storetest.Open(t)
	backup := must(s.Import(t.Context(), must(new(bundle.Bundle).Arrive())(t), false, clock(t, "12:00")))(t)
	db := must(sql.Open("sqlite3", backup))(t)
	defer db.Close()
	var tables string
	if err := db.QueryRow("SELECT group_concat(name, ' ') FROM (SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name)").Scan(&tables); err != nil {
		t.Fatal(err)
	}
	if want := "alert alert_log base bread coming day food kitchen observation ordered pass passphrase plan reading repair sent session setting slip standing tap"; tables != want {
		t.Errorf("tables %q, known to be exported or not are %q: see Store.Export", tables, want)
	}
}
