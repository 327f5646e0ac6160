package web

import (
	"net/http"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// planItems is a kind of thing that the plan has to know - people, things,
// milestones, deliveries - with a list and a form each.
type planItems[T rebuild.Item] struct {
	kind rebuild.Kind
	name string // in addresses and templates: "person"
	path string // of the list: "/plan/people"
	find func(rb *rebuild.Rebuild, id int64) *T
	// fill puts an item into its form, read takes it out again.
	fill   func(f *Form, item T)
	read   func(f *Form, item *T, rb *rebuild.Rebuild, today string)
	add    func(rb *rebuild.Rebuild, item T) (rebuild.Change, error)
	edit   func(rb *rebuild.Rebuild, item T) (rebuild.Change, error)
	remove func(rb *rebuild.Rebuild, id int64, rev int) (rebuild.Change, error)
	// show answers with the list and the form of a new one (item nil), or with one.
	show func(s *Server, w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, item *T, f *Form) error
}

// serve enters the addresses of the kind.
func (k planItems[T]) serve(s *Server, on func(pattern string, h handler)) {
	list, one := " /r/{rebuild}"+k.path, " /r/{rebuild}"+k.path+"/{"+k.name+"}"
	on("GET"+list, k.listShow(s))
	on("POST"+list, k.addNew(s))
	on("GET"+one, k.oneShow(s))
	on("POST"+one, k.change(s))
	on("GET"+one+"/delete", k.oneShow(s))
	on("POST"+one+"/delete", s.deletes(k.name, k.path, func(rb *rebuild.Rebuild, id int64, rev int) (rebuild.Change, error) {
		return k.remove(rb, id, rev)
	}))
}

func (k planItems[T]) listShow(s *Server) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		rb, err := s.rebuildOf(r)
		if err != nil {
			return err
		}
		f := &Form{}
		for name, values := range r.URL.Query() {
			f.Set(name, values...)
		}
		return k.show(s, w, r, http.StatusOK, rb, nil, f)
	}
}

func (k planItems[T]) addNew(s *Server) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		rb, err := s.rebuildOf(r)
		if err != nil {
			return err
		}
		f, err := readForm(r)
		if err != nil {
			return err
		}
		var item T
		k.read(f, &item, rb, s.today())
		if len(f.Problems) == 0 {
			err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return k.add(rb, item) }, k.toList(rb))
			if !f.take(err) {
				return err
			}
		}
		return k.show(s, w, r, http.StatusUnprocessableEntity, rb, nil, f)
	}
}

func (k planItems[T]) toList(rb *rebuild.Rebuild) func(store.Record) string {
	return func(store.Record) string { return Frame{Rebuild: rb}.Base() + k.path }
}

// of finds the item that the address names.
func (k planItems[T]) of(s *Server, r *http.Request) (*rebuild.Rebuild, *T, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, k.name)
	if err != nil {
		return nil, nil, err
	}
	item := k.find(rb, id)
	if item == nil {
		return nil, nil, &rebuild.Missing{Kind: k.kind, ID: id}
	}
	return rb, item, nil
}

func (k planItems[T]) oneShow(s *Server) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		rb, item, err := k.of(s, r)
		if err != nil {
			return err
		}
		f := &Form{}
		k.fill(f, *item)
		f.Set("rev", strconv.Itoa((*item).Revision()))
		return k.show(s, w, r, http.StatusOK, rb, item, f)
	}
}

func (k planItems[T]) change(s *Server) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		rb, now, err := k.of(s, r)
		if err != nil {
			return gone(r, err)
		}
		f, err := readForm(r)
		if err != nil {
			return err
		}
		item := *now
		k.read(f, &item, rb, s.today())
		if len(f.Problems) == 0 {
			err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return k.edit(rb, item) }, k.toList(rb))
			if !f.take(err) {
				return err
			}
		}
		return k.show(s, w, r, http.StatusUnprocessableEntity, rb, now, f)
	}
}

// planItemPage is the list of a kind with the form of a new one, or one of them
// with its form.
type planItemPage[T rebuild.Item] struct {
	Frame
	Item *T // nil: the list
	Form *Form
}

// planFrame is the frame of a page of the plan.
func (s *Server) planFrame(r *http.Request, title string, rb *rebuild.Rebuild) (Frame, error) {
	return s.frame(r, title, "plan", rb)
}

// showPlanItem answers with the page of a kind.
func showPlanItem[T rebuild.Item](template, title string) func(s *Server, w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, item *T, f *Form) error {
	return func(s *Server, w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, item *T, f *Form) error {
		if item != nil {
			title = (*item).Label()
		}
		frame, err := s.planFrame(r, title, rb)
		if err != nil {
			return err
		}
		return s.show(w, status, template, planItemPage[T]{frame, item, f})
	}
}
