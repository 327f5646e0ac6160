package web

import (
	"mime"
	"net"
	"net/http"
	"slices"
	"strings"
)

// policy lets a page load only what this server sends: no inline script or
// style, no frame, no other host.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; media-src 'self'; font-src 'self'; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"

// maxForm bounds a request's body: some twenty phone photos. They are kept on
// disk as they come in; a form without files is held in memory and bounded to
// maxFields: the largest paste, percent-encoded, and its ticks.
const (
	maxForm   = 200 << 20
	maxFields = 16 << 20
)

// guard puts the protections around all routes: foreign hosts and cross-origin
// posts are refused, bodies bounded, headers set.
func (s *Server) guard(next http.Handler) http.Handler {
	origin := http.NewCrossOriginProtection()
	inner := origin.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if !s.knownHost(r.Host) {
			http.Error(w, "This workbench answers only on its own address, not on "+r.Host+".", http.StatusMisdirectedRequest)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostOf(r))
		inner.ServeHTTP(w, r)
	})
}

func mostOf(r *http.Request) int64 {
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind == "multipart/form-data" {
		return maxForm
	}
	return maxFields
}

// knownHost keeps a page elsewhere from reaching the book through a name that
// it points at this machine.
func (s *Server) knownHost(host string) bool {
	if slices.Contains(s.options.Hosts, host) {
		return true
	}
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip := net.ParseIP(strings.Trim(name, "[]"))
	return ip != nil && ip.IsLoopback()
}
