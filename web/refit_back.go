package web

import (
	"net/http"
	"strconv"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// refitBack enters that a thing went back on the car.
func (s *Server) refitBack(w http.ResponseWriter, r *http.Request) error {
	rb, item, err := s.stripOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	now := s.now()
	back := workshop.Back{
		At: f.readMoment("back_at", "the moment it went back", now.Format(time.RFC3339), now),
		By: f.Value("by"), Anyway: f.Value("anyway"), Emptied: f.places("emptied"), Made: f.places("made"),
	}
	if back.By == "" {
		back.By = who(r)
	}
	rev := f.rev()
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return workshop.PutBack(rb, item.ID, rev, back) },
			func(store.Record) string { return backTo(r, itemPath(r.URL.Path)) })
		if !f.take(err) {
			return err
		}
	}
	return s.stripItemForm(w, r, http.StatusUnprocessableEntity, rb, item, f, "back", item.Photos)
}

// places are the places in a list that boxes name.
func (f *Form) places(field string) []int {
	var places []int
	for _, text := range f.Values[field] {
		if n, err := strconv.Atoi(text); err == nil {
			places = append(places, n)
		}
	}
	return places
}

// refitTick takes one tap: a bag emptied, a connector made, new fasteners there.
func (s *Server) refitTick(w http.ResponseWriter, r *http.Request) error {
	_, item, err := s.stripOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	tick := workshop.Tick{What: f.Value("tick"), At: -1}
	if f.Value("place") != "" {
		tick.At = int(f.whole("place", "the place"))
	}
	rev := f.rev()
	if len(f.Problems) > 0 {
		return &rebuild.Invalid{Problems: f.Problems}
	}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return workshop.Ticked(rb, item.ID, rev, tick, f.Has("not", "1"), s.now().Format(time.RFC3339))
	}, func(store.Record) string { return backTo(r, itemPath(r.URL.Path)) })
}

// refitBuy says of a line of what to buy that it was ordered or has arrived.
func (s *Server) refitBuy(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	what := f.Value("what")
	if what != workshop.TickOrdered && what != workshop.TickArrived {
		return badRequest("The list of what to buy knows “ordered” and “arrived”, not %q.", what)
	}
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return workshop.Bought(rb, f.Value("line"), what, s.today())
	}, func(store.Record) string { return backTo(r, "/r/"+r.PathValue("rebuild")+"/refit") })
	if !f.take(err) {
		return err
	}
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.refitForm(w, r, http.StatusUnprocessableEntity, rb, f.Problems)
}
