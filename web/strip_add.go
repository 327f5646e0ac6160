package web

import (
	"fmt"
	"net/http"
	"net/url"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// stripAdd enters something that came off and comes back to the same zone, ready
// for the next thing there.
func (s *Server) stripAdd(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	photos, err := s.photosOf(r, f, "photos")
	if err != nil {
		return err
	}
	now := s.now()
	item := rebuild.StripItem{Photos: addPhotos(s.filesBack(r, f), photos)}
	f.readStripItem(&item)
	item.At = f.readMoment("at", "the moment it came off", now.Format(time.RFC3339), now)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			return workshop.TakeOff(rb, item, f.Has("loose", "1"))
		}, func(record store.Record) string { return stripJust(r, record, item.Zone) })
		if !f.take(err) {
			return err
		}
	}
	f.setFiles(item.Photos)
	return s.stripAgain(w, r, f, item.Photos)
}

// stripJust is the strip page with what was just taken off.
func stripJust(r *http.Request, record store.Record, zone string) string {
	q := url.Values{"zone": {zone}}
	for _, e := range record.Edits {
		if e.Before == nil && e.Kind() == rebuild.KindStripItem {
			q.Set("just", fmt.Sprint(e.ID()))
		}
	}
	return "/r/" + r.PathValue("rebuild") + "/strip?" + q.Encode()
}

// stripMore enters more things like one that is there.
func (s *Server) stripMore(w http.ResponseWriter, r *http.Request) error {
	rb, item, err := s.stripOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	n := int(f.whole("n", "how many more"))
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			return rb.MoreLike(item.ID, n, s.now().Format(time.RFC3339))
		}, func(record store.Record) string { return stripJust(r, record, item.Zone) })
		if !f.take(err) {
			return err
		}
	}
	return s.stripItemForm(w, r, http.StatusUnprocessableEntity, rb, item, f, "more", item.Photos)
}
