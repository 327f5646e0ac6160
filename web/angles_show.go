package web

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// anglesPage is wheel angles: how they are read, the readings, what they say.
type anglesPage struct {
	Frame
	Entry    benchForm
	Cautions []knowledge.Caution
	Said     *anglesSaid    // nil: nothing can be said yet
	Sheet    *rebuild.Sheet // nil: a new one
	Sheets   []rebuild.Sheet
	From     *rebuild.Evidence // whose limits and adjusters the form opened with; nil: none
	Keeping  bool              // it was to be kept
	LeftOut  []string          // half read, and what it needs
	Doubted  bool              // a reading no car shows is to be kept
}

// Trouble says above a list of problems what did not come about.
func (p anglesPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "That says nothing yet:"
}

// Action is the address that the readings are sent to.
func (p anglesPage) Action() string {
	if p.Sheet != nil {
		return fmt.Sprintf("%s/bench/angles/%d", p.Base(), p.Sheet.ID)
	}
	return p.Base() + "/bench/angles"
}

// Draft names what was typed here.
func (p anglesPage) Draft() string {
	if p.Sheet != nil {
		return fmt.Sprintf("angles-%d-%d-%d", p.Rebuild.ID, p.Sheet.ID, p.Sheet.Rev)
	}
	return fmt.Sprintf("angles-%d", p.Rebuild.ID)
}

// Shows are the ways in which angles are written.
func (anglesPage) Shows() []Option {
	return []Option{{workshop.ShowDegrees, "1.30°"}, {workshop.ShowMinutes, "1°18′"}}
}

// Lines are the ways in which the reference lines stand.
func (anglesPage) Lines() []Option {
	return []Option{{"parallel", "Parallel to the car"}, {"free", "Not parallel"}}
}

// Arms are where the arm of the track rod points.
func (anglesPage) Arms() []Option {
	return []Option{{"", "Not said"}, {"behind", "Behind the axle"}, {"ahead", "Ahead of it"}}
}

// Wheels are the wheels in the order in which one walks round the car.
func (anglesPage) Wheels() []wheelPart {
	var list []wheelPart
	for _, key := range wheelKeys {
		list = append(list, wheelPart{key, capital(workshop.CornerWords(key)), axleOf(key), axleOf(key) == "front"})
	}
	return list
}

// wheelPart is one wheel of the form.
type wheelPart struct {
	Key, Name, Axle string
	Steers          bool
}

// Count says how many fields that begin so are filled.
func (p anglesPage) Count(prefixes ...string) string {
	n := 0
	for name, values := range p.Entry.Form.Values {
		if hasPrefix(name, prefixes) && len(values) > 0 && values[0] != "" {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return plural(n, "figure", "figures")
}

// Open reports whether something is wrong with a field that begins so.
func (p anglesPage) Open(prefixes ...string) bool {
	return slices.ContainsFunc(p.Entry.Form.Problems, func(x rebuild.Problem) bool { return hasPrefix(x.Field, prefixes) })
}

func hasPrefix(name string, prefixes []string) bool {
	return slices.ContainsFunc(prefixes, func(prefix string) bool { return strings.HasPrefix(name, prefix) })
}

// Wanted are the rows of limits of an axle: of its wheels each, then of both.
func (anglesPage) Wanted(axle string) []Option {
	of := map[string][]string{
		"front": {"total_toe_deg", "toe_deg", "camber_deg", "caster_deg", "steering_axis_deg", "included_deg", "cross_camber_deg", "cross_caster_deg", "set_back_mm", "ride_height_mm", "left_stands_over_mm"},
		"rear":  {"total_toe_deg", "toe_deg", "camber_deg", "cross_camber_deg", "set_back_mm", "ride_height_mm", "left_stands_over_mm"},
	}
	var list []Option
	for _, what := range of[axle] {
		label := capital(workshop.AngleName(what))
		switch what {
		case "toe_deg", "camber_deg", "caster_deg", "steering_axis_deg", "included_deg":
			label += ", each wheel"
		}
		if strings.HasSuffix(what, "_mm") {
			label += ", mm"
		}
		list = append(list, Option{"want." + axle + "." + what, label})
	}
	return list
}

// WantedOfCar are the limits of the whole car.
func (anglesPage) WantedOfCar() []Option {
	return []Option{
		{"want.thrust_deg", "Thrust angle, to the right"},
		{"want.toe_out_on_turns_deg", "Toe-out on turns"},
		{"want.cross_percent", "Cross-weight, front right with rear left, %"},
	}
}

func (s *Server) anglesShow(w http.ResponseWriter, r *http.Request) error {
	page, err := s.anglesPage(r, nil)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "angles", page)
}

// anglesPage is the page of the address; without a form it opens with the sheet of
// the address, else with limits and adjusters of the last time.
func (s *Server) anglesPage(r *http.Request, f *Form) (anglesPage, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return anglesPage{}, err
	}
	page := anglesPage{Cautions: cautionsFor([]string{"lifting", "steering"})}
	if r.PathValue("sheet") != "" {
		page.Sheet, err = sheetOf(r, rb, rebuild.InstrumentAngles)
		var gone *rebuild.Missing
		if errors.As(err, &gone) && f != nil { // a form that comes twice finds its sheet taken away by itself
			page.Sheet, err = &rebuild.Sheet{ID: gone.ID, Title: "Wheel angles"}, nil
		}
		if err != nil {
			return anglesPage{}, err
		}
	}
	title := "Wheel angles"
	if page.Sheet != nil {
		title = page.Sheet.Title
	}
	if page.Frame, err = s.frame(r, title, "bench", rb); err != nil {
		return anglesPage{}, err
	}
	if f == nil {
		f = s.openAngles(r, rb, &page)
	}
	page.Entry = newBenchForm(rb, f)
	page.Entry.Hint = "Fuel, load, tyres, what was odd"
	for _, sheet := range rb.Sheets {
		if sheet.Of == rebuild.InstrumentAngles && (page.Sheet == nil || sheet.ID != page.Sheet.ID) {
			page.Sheets = append(page.Sheets, sheet)
		}
	}
	return page, nil
}

// sheetOf is the measuring sheet of that instrument that the address names.
func sheetOf(r *http.Request, rb *rebuild.Rebuild, of rebuild.Instrument) (*rebuild.Sheet, error) {
	id, err := pathNumber(r, "sheet")
	if err != nil {
		return nil, err
	}
	sheet := rb.Sheet(id)
	if sheet == nil || sheet.Of != of {
		return nil, &rebuild.Missing{Kind: rebuild.KindSheet, ID: id}
	}
	return sheet, nil
}

// openAngles is the form that the page opens with.
func (s *Server) openAngles(r *http.Request, rb *rebuild.Rebuild, page *anglesPage) *Form {
	f := presetBench(r, rb)
	if page.Sheet != nil {
		f.readSheet(page.Sheet)
		return f
	}
	f.Set("lines", "parallel")
	f.Set("show", workshop.ShowDegrees)
	from := lastAngles(rb, r.URL.Query().Get("from"))
	if from == nil {
		return f
	}
	if last, err := s.workshop.AnglesKept(r.Context(), from); err == nil {
		f.presetAngles(last)
		page.From = from
	}
	return f
}

// readSheet fills the form with what was entered on a sheet.
func (f *Form) readSheet(sheet *rebuild.Sheet) {
	held := map[string]string{}
	if json.Unmarshal([]byte(sheet.Told), &held) == nil {
		for field, text := range held {
			f.Set(field, text)
		}
	}
	f.Set("job", "")
	if sheet.JobID != 0 {
		f.Set("job", strconv.FormatInt(sheet.JobID, 10))
	}
	f.Set("phase", string(sheet.Phase))
	f.Set("title", sheet.Title)
	f.Set("note", sheet.Note)
}

// lastAngles is the measurement of that number, else the latest of its kind.
func lastAngles(rb *rebuild.Rebuild, id string) *rebuild.Evidence {
	var last *rebuild.Evidence
	for i := range rb.Evidence {
		e := &rb.Evidence[i]
		if e.Instrument != rebuild.InstrumentAngles {
			continue
		}
		if strconv.FormatInt(e.ID, 10) == id {
			return e
		}
		if last == nil || cmp.Or(cmp.Compare(last.On, e.On), cmp.Compare(last.ID, e.ID)) < 0 {
			last = e
		}
	}
	return last
}
