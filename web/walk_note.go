package web

import (
	"net/http"
	"net/url"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// walkNote enters one look at a zone - findings, suggested jobs, reserve - as one
// change and comes back to the plan.
func (s *Server) walkNote(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	photos, err := s.photosOf(r, f, "photos")
	if err != nil {
		return err
	}
	look := f.readLook(addPhotos(s.filesBack(r, f), photos), s.today())
	f.checkLook(look)
	if len(f.Problems) == 0 {
		err = s.change(w, r, look.changeOf, func(store.Record) string {
			return "/r/" + r.PathValue("rebuild") + "/walk?at=" + url.QueryEscape(look.Zone)
		})
		if !f.take(err) {
			return err
		}
	}
	f.setFiles(look.Photos)
	return s.walkAgain(w, r, f, look.Photos)
}

// walkLook is a look as the form sends it.
type walkLook struct{ workshop.Look }

func (l walkLook) changeOf(rb *rebuild.Rebuild) (rebuild.Change, error) {
	note, err := l.Note(rb)
	if err != nil {
		return rebuild.Change{}, err
	}
	return rb.NoteDamage(note)
}

func (f *Form) readLook(photos []rebuild.Attachment, today string) walkLook {
	return walkLook{workshop.Look{
		Zone: f.Value("zone"), Seen: f.Values["seen"], Words: f.Value("what"),
		Severity: rebuild.Severity(f.Value("severity")), Safety: f.Has("safety", "1"),
		Hit: f.Value("hit"), Depth: f.Value("depth"), On: today, Photos: photos,
	}}
}

// checkLook refuses a look that says nothing, or that says two things: an empty
// form is not yet "nothing to see here".
func (f *Form) checkLook(look walkLook) {
	something := len(look.Seen) > 0 || look.Words != ""
	switch nothing := f.Has("nothing", "1"); {
	case nothing && (something || len(look.Photos) > 0):
		f.problem("seen", "something is ticked, written or photographed: save that, or clear it before saying that nothing is to be seen")
	case !nothing && !something && len(look.Photos) > 0:
		f.problem("seen", "what does the photo show? Tick it, or say it in words")
	case !nothing && !something:
		f.problem("seen", "nothing is ticked: tick what is seen, say it in words, or tap “Nothing to see here”")
	}
}
