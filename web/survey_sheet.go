package web

import (
	"fmt"
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// surveyFrame is what all pages of one survey begin with.
type surveyFrame struct {
	Frame
	Sheet  *rebuild.Sheet
	Job    *rebuild.Job // nil: it belongs to none
	Survey workshop.BodySurvey
	Walk   workshop.SurveyWalk
	Step   string // points, measure, said
}

// At is the address of the survey.
func (p surveyFrame) At() string { return fmt.Sprintf("%s/bench/survey/%d", p.Base(), p.Sheet.ID) }

// Quick reports that it is a survey of five lines.
func (p surveyFrame) Quick() bool { return p.Survey.Mode == workshop.SurveyQuick }

// surveyOf finds the sheet that the address names, and what it holds.
func (s *Server) surveyOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Sheet, workshop.BodySurvey, error) {
	var b workshop.BodySurvey
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, b, err
	}
	id, err := pathNumber(r, "sheet")
	if err != nil {
		return nil, nil, b, err
	}
	sheet, b, err := surveyIn(rb, id)
	return rb, sheet, b, err
}

func surveyIn(rb *rebuild.Rebuild, id int64) (*rebuild.Sheet, workshop.BodySurvey, error) {
	sheet := rb.Sheet(id)
	if sheet == nil || sheet.Of != rebuild.InstrumentSurvey {
		return nil, workshop.BodySurvey{}, &rebuild.Missing{Kind: rebuild.KindSheet, ID: id}
	}
	b, err := workshop.ReadBodySurvey(sheet.Told)
	return sheet, b, err
}

func (s *Server) surveyFrame(r *http.Request, step, title string) (surveyFrame, error) {
	rb, sheet, b, err := s.surveyOf(r)
	if err != nil {
		return surveyFrame{}, err
	}
	frame, err := s.frame(r, title, "bench", rb)
	if err != nil {
		return surveyFrame{}, err
	}
	if title == "" {
		frame.Title = sheet.Title
	}
	return surveyFrame{Frame: frame, Sheet: sheet, Job: rb.Job(sheet.JobID), Survey: b, Walk: s.workshop.Walk(b), Step: step}, nil
}

// changeSurvey changes what a sheet holds and goes on to a page of it. rev is the
// revision that the form was opened with; anyRev adds to whatever stands there, which is
// right for a reading: two phones may enter readings at once.
func (s *Server) changeSurvey(w http.ResponseWriter, r *http.Request, rev int, to string, f func(*rebuild.Sheet, *workshop.BodySurvey) error) error {
	id, err := pathNumber(r, "sheet")
	if err != nil {
		return err
	}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		old, b, err := surveyIn(rb, id)
		if err != nil {
			return rebuild.Change{}, err
		}
		sheet := *old
		if rev != anyRev {
			sheet.Rev = rev
		}
		if err := f(&sheet, &b); err != nil {
			return rebuild.Change{}, err
		}
		sheet.Told = b.JSON()
		return rb.EditSheet(sheet)
	}, func(store.Record) string {
		return fmt.Sprintf("/r/%s/bench/survey/%d%s", r.PathValue("rebuild"), id, to)
	})
}

// anyRev is for changes that are right whatever stands there.
const anyRev = -1

// surveyTold says what a survey's sheet holds, in words; empty: it is another
// instrument's, or cannot be read.
func surveyTold(sheet rebuild.Sheet) string {
	b, err := workshop.ReadBodySurvey(sheet.Told)
	if sheet.Of != rebuild.InstrumentSurvey || err != nil {
		return ""
	}
	words := fmt.Sprintf("%s, %s", plural(len(b.Points), "point", "points"), plural(len(b.Readings), "reading", "readings"))
	if n := len(b.Readings); n > 0 {
		words += fmt.Sprintf(", the last %s %s mm", b.Readings[n-1].Words(), exactMm(b.Readings[n-1].Mm))
	}
	for _, told := range []struct {
		name string
		mm   float64
	}{{"tolerance", b.ToleranceMm}, {"doubt of a distance", b.TapeSDMm}, {"doubt of a height", b.HeightSDMm}, {"reach", b.ReachMm}} {
		if told.mm > 0 {
			words += fmt.Sprintf(", %s %s mm", told.name, exactMm(told.mm))
		}
	}
	return words
}
