package web

import (
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

func TestTakenPortIsSaid(t *testing.T) {
	taken, err := Listen("127.0.0.1", freePort(t))
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	l, err := Listen("127.0.0.1", portOf(taken))
	if err == nil {
		l.Close()
		t.Fatal("a taken port was opened once more")
	}
	if !strings.Contains(err.Error(), "is taken by another program") || !strings.Contains(err.Error(), "--port") {
		t.Errorf("it says %q", err)
	}
}

// With no port asked for two workbenches run side by side.
func TestPortIsPickedWhereNoneIsAsked(t *testing.T) {
	first, err := Listen("127.0.0.1", 0)
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	second, err := Listen("127.0.0.1", 0)
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()
	if portOf(first) == portOf(second) {
		t.Errorf("both on port %d", portOf(first))
	}
}

func TestServeEndsWithItsContext(t *testing.T) {
	g := newSurveyRig(t)
	l, err := Listen("127.0.0.1", freePort(t))
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- g.server.Serve(ctx, l) }()
	answer, err := http.Get("http://" + l.Addr().String() + "/")
	if err != nil {
		t.Fatal(err)
	}
	page, err := io.ReadAll(answer.Body)
	answer.Body.Close()
	if err != nil || answer.StatusCode != http.StatusOK || !strings.Contains(string(page), "Norvane Skua") {
		t.Errorf("answered %s, %v", answer.Status, err)
	}
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("ended with %v", err)
		}
	case <-time.After(10 * time.Second):
		t.Error("goes on after its end")
	}
}

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return portOf(l)
}

func portOf(l net.Listener) int { return l.Addr().(*net.TCPAddr).Port }
