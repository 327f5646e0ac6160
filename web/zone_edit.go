package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// zoneEdit sets what the form has of a zone; what it has not stays.
func (s *Server) zoneEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.zoneOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	zone := *now
	zone.Rev = f.rev()
	f.readZone(&zone, rb.Car.Currency)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditZone(zone) }, func(store.Record) string {
			base := "/r/" + r.PathValue("rebuild")
			if f.Value("to") == "findings" {
				return base + "/findings?zone=" + zone.Place().Key
			}
			return base + "/zones/" + zone.Place().Key
		})
		if !f.take(err) {
			return err
		}
	}
	return s.zoneForm(w, r, http.StatusUnprocessableEntity, rb, now, f)
}

func (f *Form) readZone(zone *rebuild.Zone, currency string) {
	has := func(field string) bool { _, ok := f.Values[field]; return ok }
	if has("open_share") {
		zone.OpenShare = f.share("open_share", "how far it is open", zone.OpenShare)
	}
	if has("hidden_expected") {
		zone.HiddenExpected = f.number("hidden_expected", "the number of faults to expect")
	}
	if has("hidden_cost.likely") {
		zone.HiddenCost = f.costRange("hidden_cost", "the cost of one hidden fault", currency)
	}
	if has("note") {
		zone.Note = f.Value("note")
	}
}
