package browsertest

import (
	"fmt"
	"net/http"
	"testing"
)

// Two tabs open the same job; the second to save is told, keeps what it typed and
// can choose.
func TestTwoTabsEditOneJob(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	edit := car.path(fmt.Sprintf("/jobs/%d/edit", car.upright))
	first := newTab(t, s)
	first.open(edit, http.StatusOK)
	second := first.another(s)
	second.open(edit, http.StatusOK)
	const save = `form[data-draft] .actions button`

	first.write("#title", "Upright, theirs")
	first.press(save)
	first.holds("main h1", "Upright, theirs")

	second.watch.expect("status of 409")
	second.write("#title", "Upright, mine")
	second.press(save)
	second.holds("main", "Changed meanwhile", "Nothing was overwritten", "Upright, theirs", "Upright, mine")
	if got := car.now().Job(car.upright).Title; got != "Upright, theirs" {
		t.Fatalf("the job is called %q: something was overwritten silently", got)
	}
	second.press(`main .actions form button`)
	second.holds("main h1", "Upright, mine")
	if got := car.now().Job(car.upright); got.Title != "Upright, mine" || len(got.Routes) != 3 {
		t.Errorf("saved on top, the job is %+v", got)
	}
}

// A deleted job under an open form is told as well, and what was typed is shown.
func TestSecondTabDeleted(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	job := car.path(fmt.Sprintf("/jobs/%d", car.upright))
	first := newTab(t, s)
	first.open(job, http.StatusOK)
	second := first.another(s)
	second.open(job+"/edit", http.StatusOK)
	first.press(`form[action$="/delete"] button`)
	first.holds(".did", "deleted the job")
	second.watch.expect("status of 409")
	second.write("#title", "Typed in vain")
	second.press(`form[data-draft] .actions button`)
	second.holds("main", "is not there any more", "Typed in vain")
}
