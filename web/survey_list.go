package web

import (
	"cmp"
	"fmt"
	"net/http"
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
)

// Kinds are the ways in which a survey is begun.
func (surveyList) Kinds() []Option {
	return []Option{
		{beginQuick, "Five lines: is it worth measuring properly?"},
		{beginShort, fmt.Sprintf("%d points: an evening", 2*len(knowledge.SurveyPoints(beginShort)))},
		{beginWhole, fmt.Sprintf("%d points: the whole body", 2*len(knowledge.SurveyPoints(beginWhole)))},
		{beginOwn, "Points of your own, or lists from files"},
	}
}

func (s *Server) surveyListShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetBench(r, rb)
	f.Set("kind", beginQuick)
	return s.surveyListForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) surveyListForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "Is it straight?", "bench", rb)
	if err != nil {
		return err
	}
	page := surveyList{Frame: frame, Form: f, Jobs: jobGroups(rb), Phases: phaseOptions(), Cautions: surveyCautions()}
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
	page.Pairs = surveyPairs(page.Kept)
	return s.show(w, status, "survey_list", page)
}

// mostPairs bounds how many comparisons a list offers.
const mostPairs = 6

// surveyPairs offers each survey of points with the one before it.
func surveyPairs(kept []evidenceLine) []surveyPair {
	var list []surveyPair
	for i := 0; i+1 < len(kept) && len(list) < mostPairs; i++ {
		list = append(list, surveyPair{Before: kept[i+1], After: kept[i]})
	}
	return list
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
