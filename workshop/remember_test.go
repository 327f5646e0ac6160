package workshop

import (
	"context"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// A fault in an engine is an error for the page that asked, not the end of the
// program.
func TestPanicInWorkIsAnError(t *testing.T) {
	var m memory[int]
	_, err := m.get(t.Context(), t.Context(), &rebuild.Rebuild{ID: 1, Version: 1}, "", func(context.Context) (int, error) {
		panic("index out of range")
	})
	if err == nil || !strings.Contains(err.Error(), "index out of range") {
		t.Fatalf("error %v, want one that names the trouble", err)
	}
	answer, err := m.get(t.Context(), t.Context(), &rebuild.Rebuild{ID: 1, Version: 1}, "", func(context.Context) (int, error) { return 7, nil })
	if answer != 7 || err != nil {
		t.Fatalf("asked again: %d, %v; want 7", answer, err)
	}
}
