package web

import (
	"net/http"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// inspectionPage is the rehearsal of the official inspection, in the order in
// which one walks round the car.
type inspectionPage struct {
	Frame
	All   workshop.Inspection
	Tests []workshop.OfficialLine
}

// Taps are the results to tap at an item.
func (p inspectionPage) Taps(l workshop.InspectionLine) []Option { return itemTaps(l.InspectionItem) }

// Taps are the results to tap.
func (p inspectedPage) Taps() []Option { return itemTaps(p.Line.InspectionItem) }

func itemTaps(it knowledge.InspectionItem) []Option {
	taps := []Option{{"pass", "Passes"}, {"advisory", "Near its end"}, {"fail", "Fails"}}
	if it.MayNotApply {
		taps = append(taps, Option{string(rebuild.ItemNone), "Not on this car"})
	}
	return taps
}

func (s *Server) inspectionShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Inspection", "prove", rb)
	if err != nil {
		return err
	}
	page := inspectionPage{Frame: frame, Tests: workshop.OfficialTests(rb)}
	if page.All, err = workshop.InspectionOf(rb); err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "inspection", page)
}

// inspectedPage is one item with its limits, and the form for what was read.
type inspectedPage struct {
	Frame
	Line     *workshop.InspectionLine
	All      workshop.Inspection
	Form     *Form
	Evidence []Option // measurements to lean on
	Previous *workshop.InspectionLine
	Next     *workshop.InspectionLine
}

func (s *Server) inspectedShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	if h := rb.RehearsedItem(r.PathValue("item")); h != nil {
		f.Set("result", string(h.Result))
		f.Set("note", h.Note)
		f.Set("evidence", evidenceOption(h.EvidenceID))
		if h.Value != nil {
			f.setNumber("value", *h.Value)
		}
	}
	return s.inspectedForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) inspectedForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	all, err := workshop.InspectionOf(rb)
	if err != nil {
		return err
	}
	line := all.Line(r.PathValue("item"))
	if line == nil {
		return notFound("There is no such item in the list. The page Inspection has them all.")
	}
	frame, err := s.frame(r, line.Name, "prove", rb)
	if err != nil {
		return err
	}
	page := inspectedPage{Frame: frame, Line: line, All: all, Form: f, Evidence: evidenceOptions(rb)}
	page.neighbours()
	return s.show(w, status, "inspected", page)
}

// neighbours are the items before and after on the walk.
func (p *inspectedPage) neighbours() {
	var before *workshop.InspectionLine
	for i := range p.All.Parts {
		for k := range p.All.Parts[i].Lines {
			l := &p.All.Parts[i].Lines[k]
			switch {
			case l.Key == p.Line.Key:
				p.Previous = before
			case before != nil && before.Key == p.Line.Key:
				p.Next = l
			}
			before = l
		}
	}
}
