package web

import "net/http"

func (s *Server) findingsShow(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
func (s *Server) findingAdd(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) findingShow(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) findingEdit(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) findingDelete(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
func (s *Server) fileShow(w http.ResponseWriter, r *http.Request) error      { return s.unbuilt(w, r) }
func (s *Server) fileThumb(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
