package web

import "net/http"

func (s *Server) carShow(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) carEdit(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) stageEdit(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
func (s *Server) zoneShow(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
func (s *Server) zoneEdit(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
