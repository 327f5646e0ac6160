package web

import (
	"net/http"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// toolsPage lists what tightens to a known torque, with its calibration.
type toolsPage struct {
	Frame
	Lines     []workshop.ToolLine
	Elsewhere []workshop.ToolElsewhere
	Entry     toolFields
}

// toolFields is what the form of a tool needs besides its values.
type toolFields struct {
	Form    *Form
	Units   []Option
	Classes []Option
}

func newToolFields(f *Form) toolFields {
	return toolFields{f, torqueUnitOptions(), []Option{{"", "Not known"}, {"4 %", "± 4 %"}, {"6 %", "± 6 %"}}}
}

func (s *Server) toolsShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("class", "4 %")
	return s.toolsForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) toolsForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "Tools", "joints", rb)
	if err != nil {
		return err
	}
	elsewhere, err := s.workshop.ToolsElsewhere(r.Context(), rb)
	if err != nil {
		return err
	}
	return s.show(w, status, "tools", toolsPage{frame, workshop.ToolsOf(rb, s.today(), 0), elsewhere, newToolFields(f)})
}

// toolPage is one tool: its range, its calibration, a comparison with another.
type toolPage struct {
	Frame
	Tool     *rebuild.Tool
	Line     workshop.ToolLine
	Entry    toolFields
	Compare  *Form
	Refused  string // which form: "edit", "compare"
	Joints   []*rebuild.Joint
	Examples []float64 // torques to pull it at
}

func (s *Server) toolShow(w http.ResponseWriter, r *http.Request) error {
	rb, t, err := s.toolOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setTool(t)
	return s.toolForm(w, r, http.StatusOK, rb, t, f, &Form{}, "")
}

// toolOf finds the tool that the address names.
func (s *Server) toolOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Tool, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "tool")
	if err != nil {
		return nil, nil, err
	}
	t := rb.Tool(id)
	if t == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindTool, ID: id}
	}
	return rb, t, nil
}

func (s *Server) toolForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, t *rebuild.Tool, f, compare *Form, refused string) error {
	frame, err := s.frame(r, t.Title, "joints", rb)
	if err != nil {
		return err
	}
	page := toolPage{
		Frame: frame, Tool: t, Entry: newToolFields(f), Compare: compare, Refused: refused, Joints: rb.JointsTightenedWith(t.ID),
		Line: workshop.ToolLine{Tool: t, Against: t.AgainstCalibration(s.today()), Joints: len(rb.JointsTightenedWith(t.ID))},
	}
	if t.HighNm > 0 {
		page.Examples = []float64{t.HighNm * 0.2, t.HighNm * 0.6, t.HighNm}
	}
	return s.show(w, status, "tool", page)
}

// setTool fills the form with a tool, in newton metres.
func (f *Form) setTool(t *rebuild.Tool) {
	f.Set("title", t.Title)
	f.Set("class", t.Class)
	f.setTorque("low", t.LowNm)
	f.setTorque("high", t.HighNm)
	f.Set("calibrated_on", t.CalibratedOn)
	f.Set("certificate", t.Certificate)
	f.Set("note", t.Note)
}

// readTool reads a tool.
func (f *Form) readTool(t *rebuild.Tool, today string) {
	t.Title, t.Class = f.Value("title"), f.Value("class")
	t.LowNm = keepTyped(t.LowNm, f.torque("low", "the least torque"))
	t.HighNm = keepTyped(t.HighNm, f.torque("high", "the greatest torque"))
	t.CalibratedOn, t.Certificate, t.Note = f.Value("calibrated_on"), f.Value("certificate"), f.Value("note")
	f.notAhead("calibrated_on", "the day it was calibrated", today)
}

var toolProblems = map[string]string{"low_nm": "low", "high_nm": "high"}

// toolAdd enters a tool, or takes one over from another rebuild of the book.
func (s *Server) toolAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var t rebuild.Tool
	f.readTool(&t, s.today())
	if f.Value("from") != "" {
		if t, err = s.toolElsewhere(r, f); err != nil {
			return err
		}
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddTool(t) },
			func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/tools" })
		if !f.take(err) {
			return err
		}
		f.fieldsOfForm(toolProblems)
	}
	return s.toolsForm(w, r, http.StatusUnprocessableEntity, rb, f)
}

// toolElsewhere is the tool of another rebuild that a form names.
func (s *Server) toolElsewhere(r *http.Request, f *Form) (rebuild.Tool, error) {
	from, errFrom := strconv.ParseInt(f.Value("from"), 10, 64)
	id, errID := strconv.ParseInt(f.Value("tool"), 10, 64)
	if errFrom != nil || errID != nil {
		return rebuild.Tool{}, badRequest("Which tool was meant? Open the tools again and take it from there.")
	}
	other, err := s.workshop.Book().Load(r.Context(), from)
	if err != nil {
		return rebuild.Tool{}, err
	}
	t := other.Tool(id)
	if t == nil {
		return rebuild.Tool{}, &rebuild.Missing{Kind: rebuild.KindTool, ID: id}
	}
	return *t, nil
}
