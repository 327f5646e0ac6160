package workshop

import (
	"testing"
)

// TestWhatARebuildBeganWith: the ids of a calendar rest on the first record, which no
// later change moves; a rebuild that is not there has none.
func TestWhatARebuildBeganWith(t *testing.T) {
	w := open(t)
	r := inBook(t, w)
	first, err := w.Book().Begun(t.Context(), r.ID)
	if err != nil || first.RebuildID != r.ID || first.Version != 1 {
		t.Fatalf("begun with %+v (%v)", first, err)
	}
	if _, _, err := w.Book().Do(t.Context(), byTest, r.ID, aJob("Weld", 10)); err != nil {
		t.Fatal(err)
	}
	if again, err := w.Book().Begun(t.Context(), r.ID); err != nil || calendarID(r, again) != calendarID(r, first) {
		t.Errorf("after a change: %+v (%v)", again, err)
	}
	if _, err := w.Book().Begun(t.Context(), 99); err == nil {
		t.Error("one that is not there has a first record")
	}
	for uid, want := range map[string]bool{"p-task-job-1@x": true, "p-task-job-1-2@x": true, "p-task-job-12@x": false, "p-task-job-1": true, "p-wait-job-1@x": false} {
		if eventOf(uid, "task", "job-1") != want {
			t.Errorf("%s: %v", uid, !want)
		}
	}
}
