package store_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/store/record"
)

func TestPasses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	s, ctx, made := open(t, path), t.Context(), clock(t, "12:00").UTC()
	phone := record.Pass{Kind: record.CalendarPass, Name: "phone <b>", Made: made}
	phone.ID = must(s.GivePass(ctx, "secret-of-the-phone", phone))(t)
	till := record.Pass{Kind: record.DataPass, Name: "till", Made: made}
	till.ID = must(s.GivePass(ctx, "secret-of-the-till", till))(t)
	if got := must(s.Passes(ctx))(t); !cmp.Equal(got, []record.Pass{till, phone}) {
		t.Errorf("%+v", got)
	}
	later := made.Add(3 * time.Hour)
	phone.Used = later
	for _, at := range []time.Time{later, later.Add(time.Minute)} { // used is kept to the hour
		if got := must(s.Pass(ctx, "secret-of-the-phone", at))(t); !cmp.Equal(got, phone) {
			t.Errorf("%+v, want %+v", got, phone)
		}
	}
	for _, secret := range []string{"", "secret-of-the-phone ", "' OR 1=1 --", string(bytes.Repeat([]byte("x"), 10000))} {
		if _, err := s.Pass(ctx, secret, later); !errors.Is(err, record.ErrNotFound) {
			t.Errorf("%.20q: %v", secret, err)
		}
	}
	must(0, s.EndPass(ctx, phone.ID))(t)
	must(0, s.EndPass(ctx, phone.ID))(t)
	if _, err := s.Pass(ctx, "secret-of-the-phone", later); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("ended: %v", err)
	}
	must(0, s.Close())(t)
	if file := must(os.ReadFile(path))(t); bytes.Contains(file, []byte("secret-of-the-till")) {
		t.Error("the secret lies in the file")
	}
}

func TestPassesAreBounded(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "ovenward.db"))
	var err error
	for i := 0; err == nil && i < 100; i++ {
		_, err = s.GivePass(t.Context(), string(rune('a'+i)), record.Pass{Kind: record.CalendarPass, Made: clock(t, "12:00")})
	}
	if !errors.Is(err, record.ErrInvalid) {
		t.Error(err)
	}
}

func TestReadings(t *testing.T) {
	s, ctx := open(t, filepath.Join(t.TempDir(), "ovenward.db")), t.Context()
	day := planned(t, s)
	at := clock(t, "07:15").UTC()
	room := record.Reading{ID: "t-1", At: at, Minute: 435, Celsius: 23.5}
	fridge := record.Reading{ID: "t-2", Place: "fridge", At: at.Add(time.Minute), Minute: 436, Celsius: -1}
	for _, r := range []record.Reading{fridge, room, room} {
		must(0, s.Read(ctx, r))(t)
	}
	if got := must(s.Readings(ctx))(t); !cmp.Equal(got, []record.Reading{room, fridge}) {
		t.Errorf("%+v", got)
	}
	for _, bad := range []record.Reading{{At: at, Celsius: 20}, {ID: "x", Celsius: 20}, {ID: "x", At: at, Minute: 1440, Celsius: 20}, {ID: "x", At: at, Celsius: 400}} {
		if err := s.Read(ctx, bad); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	tap := record.Tap{ID: "t-1", Day: day, Version: 1, Kind: "place", At: at, Recorded: at}
	must(s.Tap(ctx, tap))(t)
	tap.ID, tap.Kind, tap.Of = "t-3", record.Undo, "t-1"
	must(s.Tap(ctx, tap))(t)
	if got := must(s.Readings(ctx))(t); !cmp.Equal(got, []record.Reading{fridge}) {
		t.Errorf("after it was taken back: %+v", got)
	}
	must(0, s.ForgetReadings(ctx, "fridge"))(t)
	if got := must(s.Readings(ctx))(t); len(got) != 0 {
		t.Errorf("forgotten: %+v", got)
	}
}
