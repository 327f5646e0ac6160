package web

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"syscall"
	"time"
)

// DefaultPort is where the pages are when nobody says otherwise.
const DefaultPort = 4173

// Listen opens the address to serve on. Port 0 takes [DefaultPort], or any free
// one when that is taken; a port that was asked for and is taken is an error.
func Listen(host string, port int) (net.Listener, error) {
	wanted := port
	if port == 0 {
		wanted = DefaultPort
	}
	l, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(wanted)))
	if err == nil {
		return l, nil
	}
	if port == 0 && errors.Is(err, syscall.EADDRINUSE) {
		return net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("port %d is taken by another program (perhaps a workbench that is still running); choose another with --port, or leave --port out to have a free one picked: %w", port, err)
	}
	return nil, fmt.Errorf("cannot serve on %s port %d: %w", host, wanted, err)
}

// Serve answers on the listener until the context ends, then lets open requests
// finish for a few seconds.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       10 * time.Minute, // a dozen photos over a garage's wireless
		WriteTimeout:      10 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
	}
	s.workshop.WeighAhead()
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	closing, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	return server.Shutdown(closing)
}
