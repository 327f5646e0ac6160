package web

import (
	"net/http"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// checkList is all quantities that can be measured against a limit.
type checkList struct {
	Frame
	Form   *Form
	Groups []checkGroup
	Job    string // query that carries the job on
}

// checkGroup is the quantities of one system of the car.
type checkGroup struct {
	Name  string
	Lines []checkLine
}

// checkLine is one quantity with how it came out last; nil: never measured.
type checkLine struct {
	knowledge.Check
	Last *rebuild.Evidence
}

func (s *Server) checkListShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Measure against a limit", "bench", rb)
	if err != nil {
		return err
	}
	page := checkList{Frame: frame, Form: f, Groups: checkGroups(rb, f.Value("q"))}
	if job := rb.Job(f.whole("job", "the job")); job != nil {
		page.Job = "?job=" + f.Value("job")
	}
	return s.showPart(w, r, "check_list", "check-found", page)
}

// checkGroups are the quantities that hold all words looked for.
func checkGroups(rb *rebuild.Rebuild, words string) []checkGroup {
	last := lastChecks(rb)
	var groups []checkGroup
	for _, c := range knowledge.Checks() {
		said := strings.ToLower(strings.Join(append([]string{c.Name, c.Group, c.How, c.Unit}, c.Tools...), " "))
		if !holdsAll(said, strings.Fields(strings.ToLower(words))) {
			continue
		}
		at := slices.IndexFunc(groups, func(g checkGroup) bool { return g.Name == c.Group })
		if at < 0 {
			groups = append(groups, checkGroup{Name: c.Group})
			at = len(groups) - 1
		}
		groups[at].Lines = append(groups[at].Lines, checkLine{c, last[c.Key]})
	}
	return groups
}

// lastChecks are the latest measurements by quantity.
func lastChecks(rb *rebuild.Rebuild) map[string]*rebuild.Evidence {
	last := map[string]*rebuild.Evidence{}
	for i := range rb.Evidence {
		e := &rb.Evidence[i]
		if s, ok := workshop.ReadCheckSettings(e); ok && s.Quantity != "" {
			last[s.Quantity] = later(last[s.Quantity], e)
		}
	}
	return last
}
