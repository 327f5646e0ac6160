package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// tightenPage is the record of one tightening, made by thumb beside the car.
type tightenPage struct {
	Frame
	Joint    *rebuild.Joint
	Stand    rebuild.JointStand
	Steps    []tightenStep
	Form     *Form
	Tools    []workshop.ToolLine
	Units    []Option
	Star     *starDrawing
	Cautions []knowledge.Caution
	Photos   []rebuild.Attachment
	Alike    *alikeTightening // what can be repeated here
	Against  string           // what the engine has against the figure
}

// tightenStep is one thing to do in order: a pass, and the angle at the end.
type tightenStep struct {
	Number int
	Words  string
	Torque float64 // Nm; 0: the angle
}

// alikeTightening is the latest tightening of another joint of the same kind.
type alikeTightening struct {
	Joint *rebuild.Joint
	Last  *rebuild.Tightening
	Tool  *rebuild.Tool
}

// stepsOf are the passes of a joint and its angle, in order.
func stepsOf(j *rebuild.Joint) []tightenStep {
	var steps []tightenStep
	passes := append(slices.Clone(j.Passes), j.TorqueNm)
	for i, nm := range passes {
		words := "Tightened"
		if len(passes) > 1 {
			words = fmt.Sprintf("Pass %d of %d", i+1, len(passes))
		}
		steps = append(steps, tightenStep{i + 1, words, nm})
	}
	if j.AngleDeg > 0 {
		steps = append(steps, tightenStep{Number: len(passes) + 1, Words: fmt.Sprintf("Then turned on by %s°", figure(j.AngleDeg))})
	}
	return steps
}

func (s *Server) tightenShow(w http.ResponseWriter, r *http.Request) error {
	rb, j, err := s.jointOf(r)
	if err != nil {
		return err
	}
	return s.tightenForm(w, r, http.StatusOK, rb, j, presetTightening(rb, j, who(r), s.today()), nil)
}

// presetTightening opens the form on what is most likely: the specification, and
// the tool that was last in somebody's hand today.
func presetTightening(rb *rebuild.Rebuild, j *rebuild.Joint, who, today string) *Form {
	f := &Form{}
	f.Set("unit", torqueUnits[0].Key)
	f.setTorque("torque", j.TorqueNm)
	f.setNumber("angle_deg", j.AngleDeg)
	if who != "workshop" {
		f.Set("who", who)
	}
	if last := latestTightening(rb); last != nil && strings.HasPrefix(last.At, today) {
		if tool := rb.Tool(last.Tool); tool != nil && tool.Reaches(j.TorqueNm) {
			f.Set("tool", strconv.FormatInt(last.Tool, 10))
		}
	}
	return f
}

func latestTightening(rb *rebuild.Rebuild) *rebuild.Tightening {
	var last *rebuild.Tightening
	for i := range rb.Joints {
		for k := range rb.Joints[i].Tightenings {
			if t := &rb.Joints[i].Tightenings[k]; last == nil || moment(t.At).After(moment(last.At)) {
				last = t
			}
		}
	}
	return last
}

func (s *Server) tightenForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, j *rebuild.Joint, f *Form, photos []rebuild.Attachment) error {
	frame, err := s.frame(r, "Tighten "+j.Title, "joints", rb)
	if err != nil {
		return err
	}
	page := tightenPage{
		Frame: frame, Joint: j, Stand: rb.JointStand(*j, s.today()), Steps: stepsOf(j), Form: f, Units: torqueUnitOptions(),
		Tools: workshop.ToolsOf(rb, s.today(), j.TorqueNm), Star: newStar(workshop.WheelOrder(j)),
		Cautions: jointCautions(j), Photos: photos, Against: workshop.ReckonJoint(j, 0).TooMuch(),
	}
	if of, last := workshop.LastAlike(rb, j); last != nil {
		page.Alike = &alikeTightening{of, last, rb.Tool(last.Tool)}
	}
	return s.show(w, status, "joint_tighten", page)
}

// jointTighten enters that a joint was tightened.
func (s *Server) jointTighten(w http.ResponseWriter, r *http.Request) error {
	rb, j, err := s.jointOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t := s.readTightening(f, j, distanceUnit(rb))
	t.Photos = s.filesBack(r, f)
	photos, err := s.photosOf(r, f, "photos")
	if err != nil {
		return err
	}
	t.Photos = addPhotos(t.Photos, photos)
	if len(f.Problems) == 0 {
		rev := f.rev()
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.Tighten(j.ID, rev, t) },
			func(store.Record) string { return jointPath(rb.ID, j.ID) })
		if !f.take(err) {
			return err
		}
		f.fieldsOfForm(map[string]string{"torque_nm": "torque"})
	}
	f.setFiles(t.Photos)
	return s.tightenForm(w, r, http.StatusUnprocessableEntity, rb, j, f, t.Photos)
}

// readTightening reads what was done. The passes are ticked in order: one that was
// left out is no pass made. The distance is in the car's unit, of so many km.
func (s *Server) readTightening(f *Form, j *rebuild.Joint, per float64) rebuild.Tightening {
	t := rebuild.Tightening{
		At: s.readMoment(f), Who: f.Value("who"), Tool: f.whole("tool", "the tool"),
		TorqueNm: keepTyped(j.TorqueNm, f.torque("torque", "the torque")),
		Renewed:  f.Has("renewed", "1"), Locked: f.Has("locked", "1"),
		Note: f.Value("note"),
	}
	if read := f.optional("at_km", "the distance"); read != nil {
		km := per * *read
		t.AtKm = &km
	}
	steps, done := stepsOf(j), 0
	for _, step := range steps {
		if !f.Has("step", strconv.Itoa(step.Number)) {
			continue
		}
		if step.Number != done+1 {
			f.problem("step", "step %d is ticked, but step %d before it is not: tick them in the order in which they were done", step.Number, done+1)
			break
		}
		done++
	}
	if done == 0 && len(f.Problems) == 0 {
		f.problem("step", "tick what was done: nothing is recorded of a pass that was not made")
	}
	t.Passes = min(done, len(j.Passes)+1)
	if j.AngleDeg > 0 && done == len(steps) {
		t.AngleDeg = f.number("angle_deg", "the angle")
	}
	if j.AngleDeg == 0 {
		t.AngleDeg = f.number("angle_deg", "the angle")
	}
	if done > 0 && t.Passes <= len(j.Passes) {
		t.TorqueNm = j.Passes[t.Passes-1] // what it is at so far
	}
	return t
}

// readMoment is when it was done: now, or what was entered afterwards.
func (s *Server) readMoment(f *Form) string {
	text := f.Value("at")
	if text == "" {
		return s.now().Format(time.RFC3339)
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04"} {
		at, err := time.ParseInLocation(layout, text, s.now().Location())
		if err != nil {
			continue
		}
		if at.After(s.now().Add(10 * time.Minute)) {
			f.problem("at", "%s has not come yet", text)
		}
		return at.Format(time.RFC3339)
	}
	f.problem("at", "%q is no day and time; write it like 2026-03-21 14:03", text)
	return ""
}

// jointCheck enters that a second person checked the tightening, or why nobody
// could.
func (s *Server) jointCheck(w http.ResponseWriter, r *http.Request) error {
	return s.jointChange(w, r, "check", func(f *Form, stand rebuild.JointStand, j *rebuild.Joint) string {
		if stand.Last == nil {
			f.problem("second_by", "it is not tightened, so there is nothing to check")
			return ""
		}
		j.Tightenings = slices.Clone(j.Tightenings)
		t := &j.Tightenings[lastAt(j.Tightenings, stand.Last.At)]
		if f.Has("as", "alone") {
			t.SecondBy, t.SecondAt, t.Alone = "", "", f.Value("alone")
			if t.Alone == "" {
				f.problem("alone", "say why nobody else could check it")
			}
			return fmt.Sprintf("noted that nobody else could check the joint %q", j.Title)
		}
		t.SecondBy, t.SecondAt, t.Alone = f.Value("second_by"), s.now().Format(time.RFC3339), ""
		switch {
		case t.SecondBy == "":
			f.problem("second_by", "say who checked it")
		case strings.EqualFold(t.SecondBy, strings.TrimSpace(t.Who)):
			f.problem("second_by", "%s tightened it: the second person must be somebody else", t.Who)
		}
		return fmt.Sprintf("noted that %s checked the joint %q", t.SecondBy, j.Title)
	})
}

// lastAt is the place of the last tightening of that moment: of two within one
// minute the later entry is the one that counts, and that is checked.
func lastAt(list []rebuild.Tightening, moment string) int {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].At == moment {
			return i
		}
	}
	return 0 // the moment is one of theirs
}

// jointUndone enters that a joint was undone, and why.
func (s *Server) jointUndone(w http.ResponseWriter, r *http.Request) error {
	return s.jointChange(w, r, "undone", func(f *Form, _ rebuild.JointStand, j *rebuild.Joint) string {
		why := f.Value("why")
		if why == "" {
			f.problem("why", "say why it was undone")
		}
		j.Undone = append(slices.Clone(j.Undone), rebuild.Undoing{At: s.now().Format(time.RFC3339), Why: why})
		return fmt.Sprintf("undid the joint %q: %s", j.Title, cmp.Or(why, "no reason given"))
	})
}

// jointChange makes one change to the joint in the address; refused, the joint's
// page comes back with the form of that name as typed. edit gives the words for
// the journal.
func (s *Server) jointChange(w http.ResponseWriter, r *http.Request, form string, edit func(*Form, rebuild.JointStand, *rebuild.Joint) string) error {
	rb, now, err := s.jointOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	j := *now
	j.Rev = f.rev()
	what := ""
	if j.Rev == now.Rev { // else it is a conflict, whatever the form says
		what = edit(f, rb.JointStand(*now, s.today()), &j)
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			c, err := rb.EditJoint(j)
			c.What = withSetBack(what, c.What)
			return c, err
		}, func(store.Record) string { return jointPath(rb.ID, j.ID) })
		if !f.take(err) {
			return err
		}
	}
	return s.jointForm(w, r, http.StatusUnprocessableEntity, rb, now, f, form)
}

// withSetBack puts what a page did in place of the book's words, and keeps what the
// book says of jobs that are proven no more by it.
func withSetBack(what, book string) string {
	if what == "" {
		return book
	}
	if _, after, found := strings.Cut(book, "; the job "); found {
		return what + "; the job " + after
	}
	return what
}
