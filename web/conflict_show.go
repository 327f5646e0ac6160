package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sort"
	"strings"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// conflictPage tells a person that what they edited was changed meanwhile, in
// another tab or by the helper, and keeps what they typed.
type conflictPage struct {
	Frame
	Conflict *rebuild.Conflict
	Theirs   conflictSide // the item as it stands
	Yours    conflictSide // what was typed
	Again    []namedValue // hidden fields that send it on top, revision moved on
	Action   string
	Keep     string // the page of the item itself
	CanForce bool
}

type namedValue struct{ Name, Value string }

// conflictSide is one of the two versions: what the other does not say too stands
// before the rest.
type conflictSide struct{ Differs, Same []namedValue }

// sidesOf parts two lists of fields by whether the other has the same.
func sidesOf(theirs, yours []namedValue) (conflictSide, conflictSide) {
	return sideOf(theirs, yours), sideOf(yours, theirs)
}

func sideOf(one, other []namedValue) conflictSide {
	var side conflictSide
	for _, v := range one {
		said := slices.IndexFunc(other, func(o namedValue) bool { return o.Name == v.Name })
		if said < 0 || slices.Contains(other, v) {
			side.Same = append(side.Same, v)
		} else {
			side.Differs = append(side.Differs, v)
		}
	}
	return side
}

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
	var theirs []namedValue
	fields := fieldsOf(c.Now)
	for _, name := range fieldNames(fields, nil) {
		if words := frame.valueWords(name, fields[name]); words != "" {
			theirs = append(theirs, namedValue{fieldLabel(name), words})
		}
	}
	page.CanForce = c.Now != nil && r.FormValue("rev") != ""
	yours, again := frame.typed(r, c)
	page.Theirs, page.Yours = sidesOf(theirs, yours)
	page.Again = again
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
	label := cmp.Or(f.Value("title"), f.Value("what"), f.Value("name"), fmt.Sprintf("number %d", missing.ID))
	return &rebuild.Conflict{Kind: missing.Kind, ID: missing.ID, Label: label}
}

// itemPath is the page that a form's address acts on: "/r/1/jobs/5" for
// "/r/1/jobs/5/outcome". All others can be opened themselves.
func itemPath(path string) string {
	last := path[strings.LastIndexByte(path, '/')+1:]
	switch last {
	case "delete", "choose", "outcome", "job", "no-cost", "routes", "save", "worth", "fees", "story", "event", "buy", "step", "trail", "not-now", "end", "more", "marks", "back", "tick", "tighten", "check", "undone", "compare", "pass", "withdraw", "confirm", "take-back", "forget", "arrived", "keep", "start", "finish":
		return strings.TrimSuffix(path, "/"+last)
	}
	return path
}

// typedWords shows a typed text as the book would show what it means, so that
// the same is the same on both sides. held is what the book has in the field.
func (f Frame) typedWords(field, text string, held any) string {
	switch held := held.(type) {
	case bool:
		return f.inWords(text == "1")
	case map[string]any:
		if _, isSum := held["number"]; !isSum {
			break
		}
		if sum, err := amount.Parse(text, f.Rebuild.Car.Currency, amount.Guess); err == nil {
			return f.Money(sum)
		}
	case float64:
		switch field {
		case "needed", "works", "open_share", "fee_tax", "price_tax", "confidence":
			if v, err := parseNumber(strings.TrimSuffix(text, "%")); err == nil {
				return percent(v / 100)
			}
		case "job", "stage":
		default:
			if v, err := parseNumber(text); err == nil {
				return f.inWords(v)
			}
		}
	}
	return f.valueWords(field, text)
}

// typed lists the form's fields for reading and for sending once more.
func (f Frame) typed(r *http.Request, c *rebuild.Conflict) (yours, again []namedValue) {
	held := fieldsOf(c.Now)
	names := make([]string, 0, len(r.PostForm))
	for name := range r.PostForm {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		for _, value := range r.PostForm[name] {
			switch name {
			case "request":
				value = f.Request
			case "rev":
				if c.Now != nil {
					value = trimNumber(float64(c.Now.Revision()))
				}
			case "back", "form", "keep":
			default:
				if value != "" && !strings.HasPrefix(name, "name.") {
					yours = append(yours, namedValue{fieldLabel(name), f.typedWords(name, value, held[name])})
				}
			}
			again = append(again, namedValue{name, value})
		}
	}
	for _, box := range boxesOf(r) {
		if !r.PostForm.Has(box) {
			yours = append(yours, namedValue{fieldLabel(box), f.inWords(false)})
		}
	}
	return yours, again
}

// boxesOf are the boxes to tick that the form had: an empty one is not sent, yet
// it says no.
func boxesOf(r *http.Request) []string {
	switch {
	case strings.HasSuffix(r.URL.Path, "/outcome"):
		return []string{"failed", "cost_nothing"}
	case r.PostForm.Get("form") == "edit":
		return []string{"safety"}
	}
	return nil
}
