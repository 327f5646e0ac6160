package web

import "net/http"

func (s *Server) unbuilt(http.ResponseWriter, *http.Request) error {
	return notFound("This page is being built.")
}

func (s *Server) nowShow(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
