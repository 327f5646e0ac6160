package web

import (
	"fmt"
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// stageEdit sets where a stage stands. A stage that becomes done without a day
// was done today; one that is not done has no such day.
func (s *Server) stageEdit(w http.ResponseWriter, r *http.Request) error {
	rb, stage, err := s.stageOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	stage.Rev = f.rev()
	stage.State = rebuild.StageState(f.Value("state"))
	stage.DoneOn, stage.Note = f.Value("done_on"), f.Value("note")
	switch {
	case stage.State != rebuild.StageDone:
		stage.DoneOn = ""
	case stage.DoneOn == "":
		stage.DoneOn = s.today()
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditStage(stage) }, func(store.Record) string {
			return fmt.Sprintf("/r/%s/car#stage-%d", r.PathValue("rebuild"), stage.Number)
		})
		if !f.take(err) {
			return err
		}
	}
	car := &Form{}
	car.setCar(rb.Car)
	return s.carForm(w, r, http.StatusUnprocessableEntity, rb, car, &carStage{Stage: &stage, Form: f})
}

// stageShow leads to the stage's place on the car's page: stages have no page of
// their own.
func (s *Server) stageShow(w http.ResponseWriter, r *http.Request) error {
	_, stage, err := s.stageOf(r)
	if err != nil {
		return err
	}
	return s.goOn(w, r, fmt.Sprintf("/r/%s/car#stage-%d", r.PathValue("rebuild"), stage.Number))
}

// stageOf finds what the address names; the stage is a copy.
func (s *Server) stageOf(r *http.Request) (*rebuild.Rebuild, rebuild.Stage, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, rebuild.Stage{}, err
	}
	n, err := pathNumber(r, "stage")
	if err != nil {
		return nil, rebuild.Stage{}, err
	}
	for _, stage := range rb.Stages {
		if stage.Number == n {
			return rb, stage, nil
		}
	}
	return nil, rebuild.Stage{}, &rebuild.Missing{Kind: rebuild.KindStage, ID: n}
}
