package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"sort"
	"strings"

	"wreckwright/rebuild"
)

// conflictPage tells a person that what they edited was changed meanwhile, in
// another tab or by the helper, and keeps what they typed.
type conflictPage struct {
	Frame
	Conflict *rebuild.Conflict
	Theirs   []namedValue // the item as it stands
	Yours    []namedValue // what was typed
	Again    []namedValue // hidden fields that send it on top, revision moved on
	Action   string
	Keep     string // the page of the item itself
	CanForce bool
}

type namedValue struct{ Name, Value string }

func (s *Server) conflictShow(w http.ResponseWriter, r *http.Request, c *rebuild.Conflict) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	frame, err := s.frame(r, "Changed meanwhile", "", rb)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := conflictPage{Frame: frame, Conflict: c, Action: r.URL.Path, Keep: itemPath(r.URL.Path)}
	fields := fieldsOf(c.Now)
	for _, name := range fieldNames(fields, nil) {
		if words := inWords(fields[name]); words != "" {
			page.Theirs = append(page.Theirs, namedValue{strings.ReplaceAll(name, "_", " "), words})
		}
	}
	page.CanForce = c.Now != nil && r.FormValue("rev") != ""
	page.Yours, page.Again = typed(r, frame.Request, c)
	if err := s.show(w, http.StatusConflict, "conflict", page); err != nil {
		s.log.Error("conflict page", "error", err)
		http.Error(w, c.Error(), http.StatusConflict)
	}
}

// gone turns the lack of what a form is about into the conflict that it is:
// somebody deleted it while the form was open. What was typed is kept.
func gone(r *http.Request, err error) error {
	var missing *rebuild.Missing
	if !errors.As(err, &missing) {
		return err
	}
	f, formErr := readForm(r)
	if formErr != nil {
		return formErr
	}
	label := cmp.Or(f.Value("title"), f.Value("what"), fmt.Sprintf("number %d", missing.ID))
	return &rebuild.Conflict{Kind: missing.Kind, ID: missing.ID, Label: label}
}

// itemPath is the page that a form's address acts on: "/r/1/jobs/5" for
// "/r/1/jobs/5/outcome". All others can be opened themselves.
func itemPath(path string) string {
	last := path[strings.LastIndexByte(path, '/')+1:]
	switch last {
	case "delete", "choose", "outcome", "job", "no-cost", "routes", "save":
		return strings.TrimSuffix(path, "/"+last)
	}
	return path
}

// typed lists the form's fields for reading and for sending once more.
func typed(r *http.Request, request string, c *rebuild.Conflict) (yours, again []namedValue) {
	names := make([]string, 0, len(r.PostForm))
	for name := range r.PostForm {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		for _, value := range r.PostForm[name] {
			switch name {
			case "request":
				value = request
			case "rev":
				if c.Now != nil {
					value = trimNumber(float64(c.Now.Revision()))
				}
			case "back", "form", "keep":
			default:
				// What hangs on an item comes as "caption." and the file's hash.
				field, _, ofFile := strings.Cut(name, ".")
				if !ofFile || field != "caption" {
					field = name
				}
				if value != "" && !strings.HasPrefix(name, "name.") {
					yours = append(yours, namedValue{strings.ReplaceAll(field, "_", " "), value})
				}
			}
			again = append(again, namedValue{name, value})
		}
	}
	return yours, again
}
