package web

import (
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// officialPage is the form for what the official test found.
type officialPage struct {
	Frame
	Test   *rebuild.OfficialTest // nil: a new one
	Form   *Form
	Items  []Option
	Rows   []int // places for what it found
	Photos []rebuild.Attachment
	Chance *float64 // as it is expected now
}

// foundRows is how many places the form has for what the test found, besides those
// in use.
const foundRows = 4

// Found are the results to choose from.
func (p officialPage) Found() []Option {
	return []Option{{"fail", "Failed"}, {"advisory", "Advisory"}}
}

// Results are those of the whole test.
func (p officialPage) Results() []Option {
	return []Option{{"pass", "Passed"}, {"fail", "Failed"}}
}

func (s *Server) officialNewShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("on", s.today())
	return s.officialForm(w, r, http.StatusOK, rb, nil, f, nil)
}

// officialOf finds the test that the address names.
func (s *Server) officialOf(r *http.Request) (*rebuild.Rebuild, *rebuild.OfficialTest, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "test")
	if err != nil {
		return nil, nil, err
	}
	t := rb.OfficialTest(id)
	if t == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindOfficialTest, ID: id}
	}
	return rb, t, nil
}

func (s *Server) officialShow(w http.ResponseWriter, r *http.Request) error {
	rb, t, err := s.officialOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("on", t.On)
	f.Set("where", t.Where)
	f.Set("result", string(t.Result))
	f.Set("note", t.Note)
	f.setFiles(t.Photos)
	row := 0
	for _, item := range t.Items {
		if item.Found == rebuild.ItemPass {
			continue
		}
		row++
		at := "found." + strconv.Itoa(row)
		f.Set(at+".key", item.Key)
		f.Set(at+".found", string(item.Found))
		f.Set(at+".text", item.Text)
	}
	return s.officialForm(w, r, http.StatusOK, rb, t, f, t.Photos)
}

func (s *Server) officialForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, t *rebuild.OfficialTest, f *Form, photos []rebuild.Attachment) error {
	title := "The official test"
	if t != nil {
		title = "Official test of " + day(t.On)
	}
	frame, err := s.frame(r, title, "prove", rb)
	if err != nil {
		return err
	}
	page := officialPage{Frame: frame, Test: t, Form: f, Photos: photos, Items: []Option{{"", "Not in the list"}}}
	for _, it := range knowledge.InspectionItems() {
		page.Items = append(page.Items, Option{it.Key, it.Name})
	}
	for row := 1; row <= f.lastRow()+foundRows; row++ {
		page.Rows = append(page.Rows, row)
	}
	if filled, err := workshop.TestOf(rb, rebuild.OfficialTest{}, nil); err == nil && t == nil {
		page.Chance = filled.Chance
	}
	return s.show(w, status, "official", page)
}

// lastRow is the last place in which something is written.
func (f *Form) lastRow() int {
	last := 0
	for row := 1; row <= mostFoundRows; row++ {
		if at := "found." + strconv.Itoa(row); f.Value(at+".key")+f.Value(at+".text") != "" {
			last = row
		}
	}
	return last
}

// mostFoundRows bounds what one test can have found.
const mostFoundRows = 100

// readOfficial reads a test and what it found.
func (f *Form) readOfficial(t *rebuild.OfficialTest, today string) []rebuild.TestedItem {
	t.On, t.Where, t.Result, t.Note = f.Value("on"), f.Value("where"), rebuild.TestResult(f.Value("result")), f.Value("note")
	f.notAhead("on", "the day of the test", today)
	if t.Result == "" {
		f.problem("result", "say how it ended: passed or failed")
	}
	var found []rebuild.TestedItem
	for row := 1; row <= f.lastRow(); row++ {
		at := "found." + strconv.Itoa(row)
		item := rebuild.TestedItem{Key: f.Value(at + ".key"), Text: f.Value(at + ".text"), Found: rebuild.ItemResult(f.Value(at + ".found"))}
		if item.Key == "" && item.Text == "" {
			continue
		}
		if item.Found == "" {
			item.Found = rebuild.ItemFail
		}
		found = append(found, item)
	}
	return found
}

func (s *Server) officialAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.officialKeep(w, r, rb, nil)
}

func (s *Server) officialEdit(w http.ResponseWriter, r *http.Request) error {
	rb, t, err := s.officialOf(r)
	if err != nil {
		return gone(r, err)
	}
	return s.officialKeep(w, r, rb, t)
}

// officialKeep keeps a test, new or edited.
func (s *Server) officialKeep(w http.ResponseWriter, r *http.Request, rb *rebuild.Rebuild, old *rebuild.OfficialTest) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var t rebuild.OfficialTest
	had := s.filesBack(r, f)
	if old != nil {
		t.ID, t.Rev, had = old.ID, f.rev(), f.keptFiles(old.Photos)
	}
	found := f.readOfficial(&t, s.today())
	photos, err := s.uploads(r, f, "photos")
	if err != nil {
		return err
	}
	t.Photos = addPhotos(had, photos)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			filled, err := workshop.TestOf(rb, t, found)
			if err != nil {
				return rebuild.Change{}, err
			}
			if t.ID != 0 {
				return rb.EditOfficialTest(filled)
			}
			return rb.AddOfficialTest(filled)
		}, func(store.Record) string { return Frame{Rebuild: rb}.Base() + "/inspection#official" })
		if !f.take(err) {
			return err
		}
	}
	f.setFiles(t.Photos)
	return s.officialForm(w, r, http.StatusUnprocessableEntity, rb, old, f, t.Photos)
}
