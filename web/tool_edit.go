package web

import (
	"fmt"
	"net/http"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// toolEdit changes a tool.
func (s *Server) toolEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.toolOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t := *now
	t.Rev = f.rev()
	f.readTool(&t, s.today())
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditTool(t) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
		f.fieldsOfForm(toolProblems)
	}
	return s.toolForm(w, r, http.StatusUnprocessableEntity, rb, now, f, &Form{}, "edit")
}

// comparePulls is how many pulls the form of a comparison has.
const comparePulls = 5

// Pulls counts the lines of that form.
func (p toolPage) Pulls() []int {
	list := make([]int, comparePulls)
	for i := range list {
		list[i] = i + 1
	}
	return list
}

// PullFields are the two fields of a pull.
func (p toolPage) PullFields(pull int) []namedField {
	return []namedField{
		{fmt.Sprintf("set.%d", pull), fmt.Sprintf("Set on this tool, pull %d", pull)},
		{fmt.Sprintf("read.%d", pull), fmt.Sprintf("What the other shows, pull %d", pull)},
	}
}

type namedField struct{ Name, Label string }

// toolCompare keeps that a tool was held against a reference.
func (s *Server) toolCompare(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.toolOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t, what := *now, ""
	if f.rev() == now.Rev {
		t, what = s.compare(f, *now)
	}
	t.Rev = f.rev()
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			c, err := rb.EditTool(t)
			c.What = withSetBack(what, c.What)
			return c, err
		}, func(store.Record) string { return fmt.Sprintf("/r/%d/tools/%d", rb.ID, t.ID) })
		if !f.take(err) {
			return err
		}
	}
	entry := &Form{}
	entry.setTool(now)
	return s.toolForm(w, r, http.StatusUnprocessableEntity, rb, now, entry, f, "compare")
}

// compare reads the pulls of a comparison and gives the tool as it is after it,
// with the words for the journal.
func (s *Server) compare(f *Form, t rebuild.Tool) (rebuild.Tool, string) {
	c := workshop.Comparison{On: s.today(), Reference: f.Value("reference"), Counts: f.Has("counts", "1")}
	if c.Reference == "" {
		f.problem("reference", "say what it was held against")
	}
	for i := 1; i <= comparePulls; i++ {
		set, read := fmt.Sprintf("set.%d", i), fmt.Sprintf("read.%d", i)
		if f.Value(set) == "" && f.Value(read) == "" {
			continue
		}
		c.Pulls = append(c.Pulls, joint.WrenchReading{SetNm: f.torque(set, "the torque set"), ReferenceNm: f.torque(read, "the torque of the reference")})
	}
	if len(f.Problems) > 0 {
		return t, ""
	}
	after, found, err := c.Compare(t)
	if err != nil {
		f.problem("set.1", "%v", err)
		return t, ""
	}
	if !found.Within {
		return after, fmt.Sprintf("compared the tool %q with %s: %+.1f %% off, not within its class", t.Title, c.Reference, 100*found.Worst)
	}
	return after, fmt.Sprintf("compared the tool %q with %s: %+.1f %% off at most, within its class", t.Title, c.Reference, 100*found.Worst)
}
