package web

import "net/http"

func (s *Server) moneyShow(w http.ResponseWriter, r *http.Request) error  { return s.unbuilt(w, r) }
func (s *Server) whatIfShow(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
