package web

import (
	"net/http"

	"wreckwright/rebuild"
)

// stopwatchShow is the instrument by thumb: a person listens for the pump and
// taps.
func (s *Server) stopwatchShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page, err := s.stopwatchPage(r, rb, presetBench(r, rb))
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "stopwatch", page)
}

func (s *Server) stopwatchPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (benchPage, error) {
	frame, err := s.frame(r, "By thumb", "bench", rb)
	return newBenchPage(frame, rb, f), err
}
