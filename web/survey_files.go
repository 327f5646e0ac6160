package web

import (
	"fmt"
	"io"
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// surveyFiles is the page on which lists are taken in and given out.
type surveyFiles struct {
	surveyFrame
	Form *Form
}

// surveyList names a list of a survey: its file, its field, its first line.
type surveyListName struct{ File, Field, Name, First string }

// Lists are the lists of a survey.
func (surveyFiles) Lists() []surveyListName {
	return []surveyListName{
		{workshop.FileDistances, "distances", "Distances", "from,to,mm,sd"},
		{workshop.FileHeights, "heights", "Heights", "point,mm,sd"},
		{workshop.FileLevels, "levels", "Differences in height", "from,to,mm,sd"},
		{workshop.FilePoints, "nominal", "The maker's places", "point,x,y,z,sd"},
		{workshop.FilePairs, "pairs", "Pairs, left and right", "left,right"},
	}
}

func (s *Server) surveyFilesShow(w http.ResponseWriter, r *http.Request) error {
	return s.surveyFilesForm(w, r, &Form{})
}

func (s *Server) surveyFilesForm(w http.ResponseWriter, r *http.Request, f *Form) error {
	frame, err := s.surveyFrame(r, "points", "")
	if err != nil {
		return err
	}
	return s.show(w, statusOf(f), "survey_files", surveyFiles{surveyFrame: frame, Form: f})
}

// mostList bounds one list.
const mostList = 1 << 20

// surveyFilesTake takes lists in, pasted or as files.
func (s *Server) surveyFilesTake(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	given := false
	for _, list := range (surveyFiles{}).Lists() {
		if err := f.listOf(r, list.Field); err != nil {
			return err
		}
		given = given || f.Value(list.Field) != ""
	}
	if !given && len(f.Problems) == 0 {
		f.problem("distances", "choose a file, or paste a list")
	}
	if len(f.Problems) == 0 {
		files := workshop.SurveyFiles{
			Distances: f.Value("distances"), Heights: f.Value("heights"), Levels: f.Value("levels"), Nominal: f.Value("nominal"), Pairs: f.Value("pairs"), NewPoints: f.Has("new_points", "1"),
		}
		err := s.surveyImport(w, r, f, files)
		if !f.take(err) {
			return err
		}
	}
	return s.surveyFilesForm(w, r, f)
}

// surveyImport takes lists into the survey. Finding where their points are takes a
// while: it is done before the book is held for the change, on the revision that
// the form was opened with; at any other the change is refused.
func (s *Server) surveyImport(w http.ResponseWriter, r *http.Request, f *Form, files workshop.SurveyFiles) error {
	_, sheet, b, err := s.surveyOf(r)
	if err != nil {
		return err
	}
	next := b
	if sheet.Rev == f.rev() {
		if next, err = b.ImportSurvey(files); err != nil {
			return err
		}
	}
	if files.Nominal != "" {
		next.NominalFrom = f.Value("nominal_from")
	}
	return s.changeSurvey(w, r, f.rev(), "", func(_ *rebuild.Sheet, b *workshop.BodySurvey) error {
		*b = next
		return nil
	})
}

// listOf puts the text of a file into the field that could be pasted into.
func (f *Form) listOf(r *http.Request, field string) error {
	if r.MultipartForm == nil {
		return nil
	}
	for _, header := range r.MultipartForm.File["file."+field] {
		if header.Filename == "" || header.Size == 0 {
			continue
		}
		if header.Size > mostList {
			f.problem(field, "the file %q has %d kB; at most %d kB fit", header.Filename, header.Size>>10, mostList>>10)
			continue
		}
		file, err := header.Open()
		if err != nil {
			return err
		}
		text, err := io.ReadAll(io.LimitReader(file, mostList))
		file.Close()
		if err != nil {
			return fmt.Errorf("reading %q: %w", header.Filename, err)
		}
		f.Set(field, string(text))
	}
	return nil
}

// surveyFile gives one list out.
func (s *Server) surveyFile(w http.ResponseWriter, r *http.Request) error {
	_, _, b, err := s.surveyOf(r)
	if err != nil {
		return err
	}
	text, ok := b.Export().Named(r.PathValue("name"))
	if r.PathValue("name") == workshop.SurveyName {
		text, ok = b.JSON(), true
	}
	if !ok {
		return notFound("A survey has no list of that name.")
	}
	kind := "text/csv; charset=utf-8"
	if r.PathValue("name") == workshop.SurveyName {
		kind = "application/json"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", r.PathValue("name")))
	w.Header().Set("X-Content-Type-Options", "nosniff")
	_, _ = io.WriteString(w, text)
	return nil
}
