package web

import (
	"net/url"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// jobFilter says which jobs a list shows; empty fields let all through. It is
// kept in the address, so that a list can be bookmarked.
type jobFilter struct {
	State   string // a rebuild.JobState, or stateAhead
	Zone    string
	Safety  string // a rebuild.SafetyClass, or anySafety
	Missing string // a want
	Words   string
	Page    int // from 1
}

const (
	stateAhead = "ahead" // open, waiting or doing
	anySafety  = "any"   // any class that lives hang on
)

// want is something that a job lacks.
type want string

// What a job may lack.
const (
	wantRoute  want = "route"  // no route to do it
	wantChoice want = "choice" // ways, but none chosen
	wantFigure want = "figure" // a route without a figure
	wantWait   want = "wait"   // it waits
	wantCost   want = "cost"   // finished, and no cost written down
	wantProof  want = "proof"  // lives hang on it, done, not proven
)

func wantOptions() []Option {
	return []Option{
		{"", "Anything or nothing"},
		{string(wantRoute), "A route"},
		{string(wantChoice), "The choice of a route"},
		{string(wantFigure), "A figure"},
		{string(wantWait), "What it waits for"},
		{string(wantCost), "The cost, although finished"},
		{string(wantProof), "The proof of safety work"},
	}
}

func readJobFilter(q url.Values) jobFilter {
	page, _ := strconv.Atoi(q.Get("page"))
	return jobFilter{
		State: q.Get("state"), Zone: q.Get("zone"), Safety: q.Get("safety"), Missing: q.Get("missing"),
		Words: strings.TrimSpace(q.Get("words")), Page: max(page, 1),
	}
}

// Narrow reports whether the filter, the state aside, leaves anything out.
func (f jobFilter) Narrow() bool {
	return f.Zone != "" || f.Safety != "" || f.Missing != "" || f.Words != ""
}

// Query is the filter as the address writes it.
func (f jobFilter) Query() string {
	q := url.Values{}
	for _, p := range [][2]string{{"state", f.State}, {"zone", f.Zone}, {"safety", f.Safety}, {"missing", f.Missing}, {"words", f.Words}} {
		if p[1] != "" {
			q.Set(p[0], p[1])
		}
	}
	if f.Page > 1 {
		q.Set("page", strconv.Itoa(f.Page))
	}
	if len(q) == 0 {
		return ""
	}
	return "?" + q.Encode()
}

// lets reports whether the job passes, its state aside: the links to the states
// count what each of them would show.
func (f jobFilter) lets(l jobLine) bool {
	j := l.Job
	switch {
	case f.Zone != "" && j.Zone != f.Zone,
		f.Safety == anySafety && !j.Safety.Critical(),
		f.Safety != "" && f.Safety != anySafety && string(j.Safety) != f.Safety,
		f.Missing != "" && !l.lacks(want(f.Missing)):
		return false
	}
	return f.Words == "" || l.holds(strings.Fields(strings.ToLower(f.Words)))
}

// letsState reports whether jobs in that state pass.
func (f jobFilter) letsState(j *rebuild.Job) bool {
	return f.State == "" || f.State == string(j.State) || f.State == stateAhead && j.Ahead()
}

// holds reports whether each word is somewhere in what the job says.
func (l jobLine) holds(words []string) bool {
	j := l.Job
	text := j.Title + " " + rebuild.ZoneName(j.Zone) + " " + j.WaitingFor + " " + j.Note + " " + j.Proof + " " + j.ReferenceFrom
	for i := range j.Routes {
		text += " " + j.Routes[i].Name + " " + j.Routes[i].Basis
	}
	text = strings.ToLower(text)
	for _, word := range words {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}
