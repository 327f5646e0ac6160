package web

import (
	"net/http"
	"slices"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// stripEdit changes what is written of a thing that came off.
func (s *Server) stripEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.stripOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	item := *now
	item.Rev = f.rev()
	item.Fasteners = slices.Clone(now.Fasteners)
	f.readStripItem(&item)
	item.At = f.readMoment("at", "the moment it came off", now.At, s.now())
	photos, err := s.editedPhotos(r, f, now.Photos)
	if err != nil {
		return err
	}
	item.Photos = f.keptFiles(photos)
	item.Marks = marksOn(item.Photos, now)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditStripItem(item) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	return s.stripItemForm(w, r, http.StatusUnprocessableEntity, rb, now, f, "edit", photos)
}

// marksOn are the marks whose photos are still there, on their new places.
func marksOn(photos []rebuild.Attachment, had *rebuild.StripItem) []rebuild.PhotoMark {
	var marks []rebuild.PhotoMark
	for _, m := range had.Marks {
		if m.Photo < 0 || m.Photo >= len(had.Photos) {
			continue
		}
		hash := had.Photos[m.Photo].Hash
		at := slices.IndexFunc(photos, func(a rebuild.Attachment) bool { return a.Hash == hash })
		if at >= 0 {
			m.Photo = at
			marks = append(marks, m)
		}
	}
	return marks
}
