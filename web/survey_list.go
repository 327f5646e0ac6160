package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// surveyList is the body surveys of a car: those that are being measured, those
// that are kept, and how one is begun.
type surveyList struct {
	Frame
	Form     *Form
	From     *rebuild.Evidence // survey to be measured once more; nil: none
	Jobs     []jobGroup
	Phases   []Option
	Sheets   []surveySheetLine
	Kept     []evidenceLine
	Pairs    []surveyPair
	Cautions []knowledge.Caution
}

// surveySheetLine is one survey that is being measured.
type surveySheetLine struct {
	*rebuild.Sheet
	Job    *rebuild.Job
	Read   int
	Wanted int
}

// surveyPair is two kept surveys to hold against each other.
type surveyPair struct{ Before, After evidenceLine }

// The kinds of surveys that can be begun.
const (
	beginQuick = "quick"
	beginShort = "short"
	beginWhole = "whole"
	beginOwn   = "own"
	beginAgain = "again" // as in a survey that was kept
)

// Kinds are the ways in which a survey is begun.
func (p surveyList) Kinds() []Option {
	list := []Option(nil)
	if p.From != nil {
		list = append(list, Option{beginAgain, "Once more as in " + p.From.Title + ", " + day(p.From.On)})
	}
	return append(list, []Option{
		{beginQuick, "Five lines: is it worth measuring properly?"},
		{beginShort, fmt.Sprintf("%d points: an evening", 2*len(knowledge.SurveyPoints(beginShort)))},
		{beginWhole, fmt.Sprintf("%d points: the whole body", 2*len(knowledge.SurveyPoints(beginWhole)))},
		{beginOwn, "Points of your own, or lists from files"},
	}...)
}

func (s *Server) surveyListShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetBench(r, rb)
	f.Set("kind", beginQuick)
	if e := surveyFrom(rb, r.URL.Query().Get("from")); e != nil {
		f.Set("from", strconv.FormatInt(e.ID, 10))
		f.Set("kind", beginAgain)
		f.Set("phase", string(rebuild.PhaseAfter))
		if e.JobID != 0 {
			f.Set("job", strconv.FormatInt(e.JobID, 10))
		}
	}
	return s.surveyListForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) surveyListForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "Is it straight?", "bench", rb)
	if err != nil {
		return err
	}
	page := surveyList{Frame: frame, Form: f, Jobs: jobGroups(rb), Phases: phaseOptions(), Cautions: surveyCautions()}
	page.From = surveyFrom(rb, f.Value("from"))
	for i := range rb.Sheets {
		sheet := &rb.Sheets[i]
		if sheet.Of != rebuild.InstrumentSurvey {
			continue
		}
		line := surveySheetLine{Sheet: sheet, Job: rb.Job(sheet.JobID)}
		if b, err := workshop.ReadBodySurvey(sheet.Told); err == nil {
			walk := s.workshop.Walk(b)
			line.Read, line.Wanted = walk.Read, walk.Wanted
		}
		page.Sheets = append(page.Sheets, line)
	}
	page.Kept = evidenceLines(frame, rb, workshop.IsSurvey)
	page.Pairs = s.surveyPairs(r, rb, page.Kept)
	return s.show(w, status, "survey_list", page)
}

// mostPairs bounds how many comparisons a list offers.
const mostPairs = 6

// surveyPairs offers each survey of points with the one before it of the same points.
func (s *Server) surveyPairs(r *http.Request, rb *rebuild.Rebuild, kept []evidenceLine) []surveyPair {
	var list []surveyPair
	for _, l := range kept {
		if len(list) == mostPairs {
			break
		}
		before := s.workshop.SurveyToCompare(r.Context(), rb, l.Evidence)
		i := slices.IndexFunc(kept, func(o evidenceLine) bool { return before != nil && o.ID == before.ID })
		if i >= 0 {
			list = append(list, surveyPair{Before: kept[i], After: l})
		}
	}
	return list
}

// surveyFrom is the survey with that number; nil: none.
func surveyFrom(rb *rebuild.Rebuild, number string) *rebuild.Evidence {
	id, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return nil
	}
	if e := rb.EvidenceAt(id); e != nil && workshop.IsSurvey(e) {
		return e
	}
	return nil
}

// surveyAfresh is the sheet of a survey that was kept, without its readings.
func (s *Server) surveyAfresh(r *http.Request, f *Form, sheet *rebuild.Sheet) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	e := surveyFrom(rb, f.Value("from"))
	if e == nil {
		f.problem("kind", "the survey to measure once more is not there any more: choose how it is measured")
		return nil
	}
	said, err := s.workshop.SurveyAt(r.Context(), e)
	if err != nil {
		f.problem("kind", "%v", err)
		return nil
	}
	sheet.Told, sheet.Title = said.Survey.Afresh().JSON(), cmp.Or(f.Value("title"), e.Title)
	return nil
}

// surveyCautions stand wherever a body is measured or pulled.
func surveyCautions() []knowledge.Caution { return cautionsFor([]string{"lifting", "structure"}) }

// surveyBegin begins a survey's sheet.
func (s *Server) surveyBegin(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	sheet := rebuild.Sheet{
		Of: rebuild.InstrumentSurvey, Title: cmp.Or(f.Value("title"), "Body survey"), JobID: f.whole("job", "the job"), Phase: rebuild.Phase(f.Value("phase")),
	}
	switch kind := f.Value("kind"); kind {
	case beginQuick:
		sheet.Told, sheet.Title = workshop.NewQuickSurvey().JSON(), cmp.Or(f.Value("title"), "Diagonals and cross measures")
	case beginShort, beginWhole:
		sheet.Told = workshop.NewBodySurvey(kind).JSON()
	case beginOwn:
		sheet.Told = workshop.BodySurvey{Heights: workshop.HeightsByPlane}.JSON()
	case beginAgain:
		if err := s.surveyAfresh(r, f, &sheet); err != nil {
			return err
		}
	default:
		f.problem("kind", "choose how it is measured")
	}
	if len(f.Problems) == 0 {
		to := "/measure"
		if f.Value("kind") == beginOwn {
			to = "/points"
		}
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddSheet(sheet) }, func(record store.Record) string {
			at := fmt.Sprintf("/r/%s/bench/survey", r.PathValue("rebuild"))
			if len(record.Edits) == 1 && record.Edits[0].After != nil {
				at += "/" + strconv.FormatInt(record.Edits[0].ID(), 10) + to
			}
			return at
		})
		if !f.take(err) {
			return err
		}
	}
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.surveyListForm(w, r, statusOf(f), rb, f)
}
