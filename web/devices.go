package web

import (
	"net/http"
	"strconv"

	"ovenward/store/record"
	"ovenward/web/view"
)

// devices is what the settings say of other machines.
func (s *server) devices(r *http.Request) (d view.Devices, err error) {
	v := visitorOf(r)
	d = view.Devices{On: s.door != nil, Host: v.host, Role: v.Role, Own: v.ID, Plain: r.TLS == nil}
	if !d.On || v.Role != record.Baker {
		return d, nil
	}
	now := s.now()
	if v.host {
		d.Addresses = s.addresses()
		var role string
		d.Code, role, d.CodeEnds = s.door.codes.Current(now)
		d.CodeRole = record.Role(role)
	}
	if s.authority != nil {
		t := trust(s.authority, r)
		d.Plain, d.Trust = false, &t
	}
	d.Sessions, err = s.store.Sessions(r.Context(), now)
	return d, err
}

// newCode shows a code that lets one device in. Only this machine can ask for
// it: whoever reads it stands before it.
func (s *server) newCode(w http.ResponseWriter, r *http.Request) error {
	if !visitorOf(r).host {
		return errNotHost
	}
	role := record.Helper
	if r.PostFormValue("role") == string(record.Baker) {
		role = record.Baker
	}
	s.door.codes.New(string(role), s.now())
	s.log.InfoContext(r.Context(), "code made", "role", role)
	return seeOther(w, r, "/settings#devices")
}

var errNotHost = &Error{http.StatusForbidden, "Codes are made on the computer the program runs on.", "Open the settings there.", "/settings"}

// endSession logs another device out.
func (s *server) endSession(w http.ResponseWriter, r *http.Request) error {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return errNoPage
	}
	if err := s.end(r, id); err != nil {
		return err
	}
	return seeOther(w, r, "/settings#devices")
}
