package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
)

// A page does not wait for a long file: it says how far it is and asks again, and
// its button calls the work back.
func TestALongFileShowsHowFarItIs(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/recharge")
	log := g.keepFile("skua.csv", "text/csv", []byte(tooth("time_s,pressure_bar")))
	at := page + "?" + url.Values{"log": {log.Hash}, "name": {"skua.csv"}, "job": {"7"}}.Encode()
	g.server.logs.patience = 0
	g.server.logs.turn.Lock() // something else is being read
	g.wants(g.get(at), http.StatusAccepted, "Reading: skua.csv", "waits for its turn", `<progress max="100" value="0"`, `http-equiv="refresh"`, "wait.js", "Cancel")
	if n := len(g.server.logs.underway); n != 1 {
		t.Errorf("%d pieces of work are under way", n)
	}
	g.get(at)
	if n := len(g.server.logs.underway); n != 1 {
		t.Errorf("asked twice, %d pieces of work are under way", n)
	}
	w := g.post(page, url.Values{"log": {log.Hash}, "name": {"skua.csv"}, "job": {"7"}, "stop": {"1"}})
	g.wants(w, http.StatusSeeOther)
	if to := w.Header().Get("Location"); to != "/r/1/bench/recharge?job=7" {
		t.Errorf("it goes on to %s", to)
	}
	if n := len(g.server.logs.underway); n != 0 {
		t.Errorf("called back, %d pieces of work are under way", n)
	}
	g.server.logs.turn.Unlock()
	g.server.logs.patience = time.Minute
	g.wants(g.get(at), http.StatusOK, "What the readings say", "!Cancel")
}

func TestWorkIsDoneOnceAndCalledBack(t *testing.T) {
	w := works[int]{patience: time.Minute, answers: latest[answered[int]]{most: 4}}
	calls := 0
	count := func(ctx context.Context, heed func(io.Reader) io.Reader) (int, error) {
		calls++
		n, err := io.Copy(io.Discard, heed(strings.NewReader("0123456789")))
		return int(n), err
	}
	for range 3 {
		if n, done, _, err := w.ask(t.Context(), "a", false, count); n != 10 || !done || err != nil {
			t.Errorf("got %d, %t, %v", n, done, err)
		}
	}
	if calls != 1 {
		t.Errorf("it was done %d times", calls)
	}
	refused := func(context.Context, func(io.Reader) io.Reader) (int, error) {
		calls++
		return 0, &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "file", Text: "it is cut"}}}
	}
	var invalid *rebuild.Invalid
	for range 2 {
		if _, _, _, err := w.ask(t.Context(), "b", true, refused); !errors.As(err, &invalid) {
			t.Errorf("got %v", err)
		}
	}
	if calls != 2 {
		t.Errorf("a refusal was worked out %d times", calls-1)
	}
	// An endless file: how far it is is told, then it is called back.
	endless, begun := &endlessReader{}, make(chan struct{})
	forever := func(_ context.Context, heed func(io.Reader) io.Reader) (int, error) {
		from := heed(endless)
		if _, err := io.ReadFull(from, make([]byte, 100)); err != nil {
			return 0, err
		}
		close(begun)
		_, err := io.Copy(io.Discard, from)
		return 0, err
	}
	w.patience = 0
	if _, done, _, err := w.ask(t.Context(), "c", false, forever); done || err != nil {
		t.Errorf("endless: %t, %v", done, err)
	}
	<-begun
	if _, done, read, _ := w.ask(t.Context(), "c", false, forever); done || read < 100 {
		t.Errorf("endless: %t, %d bytes", done, read)
	}
	ended := w.underway["c"].ended
	w.stop("c")
	<-ended
	if _, kept := w.answers.get("c"); kept {
		t.Error("what was called back is kept as an answer")
	}
	gone, leave := context.WithCancel(t.Context())
	leave()
	if _, _, _, err := w.ask(gone, "d", true, func(context.Context, func(io.Reader) io.Reader) (int, error) { return 1, nil }); err != nil && !errors.Is(err, context.Canceled) {
		t.Errorf("whoever asked is gone: %v", err)
	}
}

// A fault of the program while a file is worked out is the error of whoever asked,
// not the end of the server.
func TestAFaultOfWorkIsAnError(t *testing.T) {
	var w works[int]
	calls := 0
	_, done, _, err := w.ask(t.Context(), "a", true, func(context.Context, func(io.Reader) io.Reader) (int, error) {
		return []int{}[calls], nil
	})
	if !done || err == nil || !strings.Contains(err.Error(), "index out of range") {
		t.Errorf("%t, %v", done, err)
	}
	if n, _, _, err := w.ask(t.Context(), "a", true, func(context.Context, func(io.Reader) io.Reader) (int, error) { return 3, nil }); n != 3 || err != nil {
		t.Errorf("once more: %d, %v", n, err)
	}
}

// Work that somebody waits for goes on, however long it takes; what nobody asks for
// any more is called back, and a later piece of the same key is not.
func TestWorkGoesOnWhileSomebodyWaits(t *testing.T) {
	w := works[int]{keepFor: 30 * time.Millisecond}
	until := func(ctx context.Context, _ func(io.Reader) io.Reader) (int, error) {
		select {
		case <-ctx.Done():
			return 0, ctx.Err()
		case <-time.After(10 * w.keepFor):
			return 1, nil
		}
	}
	if n, _, _, err := w.ask(t.Context(), "a", true, until); n != 1 || err != nil {
		t.Errorf("waited for: %d, %v", n, err)
	}
	forever := func(ctx context.Context, _ func(io.Reader) io.Reader) (int, error) {
		<-ctx.Done()
		return 0, ctx.Err()
	}
	left := w.start("b", forever)
	<-left.ended
	if !errors.Is(left.came.err, context.Canceled) {
		t.Errorf("nobody asks: %v", left.came.err)
	}
	first := w.start("c", forever)
	w.stop("c")
	second := w.start("c", forever)
	w.leave("c", first)
	if w.underway["c"] != second {
		t.Error("the first one took the second with it")
	}
	w.stop("c")
	<-second.ended
}

type endlessReader struct{}

func (*endlessReader) Read(into []byte) (int, error) {
	return copy(into, bytes.Repeat([]byte("x"), len(into))), nil
}
