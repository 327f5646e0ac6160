package web

import "net/http"

func (s *Server) jobsShow(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
func (s *Server) jobsCSV(w http.ResponseWriter, r *http.Request) error      { return s.unbuilt(w, r) }
func (s *Server) jobNewShow(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) jobAdd(w http.ResponseWriter, r *http.Request) error       { return s.unbuilt(w, r) }
func (s *Server) jobShow(w http.ResponseWriter, r *http.Request) error      { return s.unbuilt(w, r) }
func (s *Server) jobEditShow(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
func (s *Server) jobEdit(w http.ResponseWriter, r *http.Request) error      { return s.unbuilt(w, r) }
func (s *Server) jobDelete(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) jobChoose(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) jobOutcome(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) routeNewShow(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
func (s *Server) routeAdd(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
func (s *Server) routeShow(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) routeEdit(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) routeDelete(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
