package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// carEdit sets what the form has of the car; what it has not stays. The form
// that puts the car away, or takes it out again, has only that.
func (s *Server) carEdit(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	car := rb.Car
	car.Rev = f.rev()
	f.readCar(&car)
	if _, ok := f.Values["shelved"]; ok {
		car.Shelved = f.Has("shelved", "1")
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditCar(car) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	return s.carForm(w, r, http.StatusUnprocessableEntity, rb, f.overCar(rb.Car), nil)
}

// overCar fills what a partial form has not with what the car has.
func (f *Form) overCar(car rebuild.Car) *Form {
	whole := &Form{Problems: f.Problems}
	whole.setCar(car)
	for name, values := range f.Values {
		whole.Set(name, values...)
	}
	return whole
}
