package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// apiPath is what the addresses for other programs begin with; without its slash
// it is the page that tells of them.
const apiPath = "/api/"

func forPrograms(r *http.Request) bool { return strings.HasPrefix(r.URL.Path, apiPath) }

// problem is what goes wrong, for a program (RFC 9457).
type problem struct {
	Title  string      `json:"title"`
	Status int         `json:"status"`
	Detail string      `json:"detail,omitempty"`
	Faults []fileFault `json:"faults,omitempty"`
}

// fileFault is one thing wrong with what was sent.
type fileFault struct {
	schedule.Fault
	Line   int `json:"line,omitempty"` // from 1; of what was sent
	Column int `json:"column,omitempty"`
}

// problemOf words an error met at a path for a program.
func problemOf(path string, err error) problem {
	if faults, ok := errors.AsType[dayfile.Errors](err); ok {
		p := problem{Title: "What was sent cannot be read as it should.", Status: http.StatusUnprocessableEntity}
		for _, e := range faults {
			p.Faults = append(p.Faults, fileFault{schedule.Fault{Where: e.Path, What: e.What, Remedy: e.Remedy}, e.Line, e.Column})
		}
		return p
	}
	if faults, ok := errors.AsType[schedule.Faults](err); ok {
		p := problem{Title: "This cannot be kept or planned as it is.", Status: http.StatusUnprocessableEntity}
		for _, f := range faults {
			p.Faults = append(p.Faults, fileFault{Fault: f})
		}
		return p
	}
	e := explain(path, err)
	return problem{Title: e.What, Status: e.Status, Detail: e.Next}
}

// showProblem answers a program with what went wrong.
func showProblem(w http.ResponseWriter, p problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	if p.Status == http.StatusUnauthorized {
		w.Header().Set("WWW-Authenticate", "Bearer")
	}
	w.WriteHeader(p.Status)
	json.NewEncoder(w).Encode(p)
}
