package web

import "net/http"

func (s *Server) ledgerShow(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) ledgerCSV(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
func (s *Server) entryAdd(w http.ResponseWriter, r *http.Request) error      { return s.unbuilt(w, r) }
func (s *Server) entryShow(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
func (s *Server) entryEdit(w http.ResponseWriter, r *http.Request) error     { return s.unbuilt(w, r) }
func (s *Server) entryDelete(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) entryAssign(w http.ResponseWriter, r *http.Request) error   { return s.unbuilt(w, r) }
func (s *Server) importShow(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
func (s *Server) importPreview(w http.ResponseWriter, r *http.Request) error { return s.unbuilt(w, r) }
func (s *Server) importSave(w http.ResponseWriter, r *http.Request) error    { return s.unbuilt(w, r) }
