package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// visit is a page to be looked at: how to come to it.
type visit struct {
	name   string
	path   string
	status int64
	before func(*tab) // fills and sends a form, moves a slider
	brief  bool       // with all rules on a phone in light and on a laptop in dark, nothing else
}

// Every page is held against the accessibility rules, fits the width and has
// targets that a finger can hit: on a phone and on a laptop, light and dark.
func TestPagesAreAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	empty := startEmpty(t, s)
	full := fill(t, s)
	weighed := startCandidate(t, s)
	list := append(yardVisits(), emptyVisits(empty)...)
	list = append(list, fullVisits(full)...)
	list = append(list, candidateVisits(weighed)...)
	lookAtAll(t, s, source, list)
}

// The gallery has every part in states that no book has at once.
func TestGalleryIsAccessible(t *testing.T) {
	t.Parallel()
	source := needAxe(t)
	s := serveFolder(t, t.TempDir(), false, "..")
	fill(t, s)
	look(newTab(t, s), source, visit{name: "gallery", path: "/gallery", status: http.StatusOK, brief: true})
}

// The example book has more of everything than the small one: long lists, every
// state, many photos.
func TestDemoIsAccessible(t *testing.T) {
	source := needAxe(t)
	s := serveDemo(t)
	list := []visit{{name: "demo yard", path: "/", status: http.StatusOK}}
	list = append(list, visit{name: "demo appraise list", path: "/appraise", status: http.StatusOK})
	for _, page := range []string{
		"1/now", "1/findings", "1/jobs", "1/ledger", "1/money", "1/history", "2/now",
		"1/appraise", "3/appraise", "4/appraise", "5/appraise", "3/walk", "1/bench",
	} {
		list = append(list, visit{name: "demo " + page, path: "/r/" + page, status: http.StatusOK, brief: true})
	}
	r, err := s.book.Load(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range oneOfEachState(r) {
		list = append(list, visit{name: "demo job, " + j.Title, path: fmt.Sprintf("/r/1/jobs/%d", j.ID), status: http.StatusOK, brief: true})
	}
	lookAtAll(t, s, source, list)
}

// oneOfEachState gives the job with the most ways of each state.
func oneOfEachState(r *rebuild.Rebuild) []rebuild.Job {
	var chosen []rebuild.Job
	for _, state := range rebuild.JobStates {
		var best *rebuild.Job
		for i := range r.Jobs {
			if j := &r.Jobs[i]; j.State == state && (best == nil || len(j.Routes) > len(best.Routes)) {
				best = j
			}
		}
		if best != nil {
			chosen = append(chosen, *best)
		}
	}
	return chosen
}

// lookAtAll shares the pages between two tabs: as many as the smallest machine
// has cores.
func lookAtAll(t *testing.T, s *served, source string, list []visit) {
	t.Helper()
	for half := range 2 {
		t.Run(fmt.Sprintf("half %d", half+1), func(t *testing.T) {
			t.Parallel()
			b := newTab(t, s)
			for i := half; i < len(list); i += 2 {
				look(b, source, list[i])
			}
		})
	}
}

// look holds one page against everything.
func look(b *tab, source string, v visit) {
	b.t.Helper()
	b.watch.reset()
	if v.status >= 400 {
		b.watch.expect(fmt.Sprintf("status of %d", v.status))
	}
	b.theme("light")
	b.width(phone)
	if v.status < 400 || v.before == nil {
		b.open(v.path, v.status)
	} else {
		b.open(v.path, http.StatusOK)
	}
	if v.before != nil {
		v.before(b)
	}
	ask[bool](b, "document.querySelectorAll('details').forEach(d => d.open = true) === undefined")
	for _, width := range []int64{phone, laptop} {
		b.whole(width)
		for _, theme := range []string{"light", "dark"} {
			all := (width == phone) == (theme == "light")
			if v.brief && !all {
				continue
			}
			b.theme(theme)
			for _, found := range b.axe(source, !all) {
				b.t.Errorf("%s at %d, %s: %v", v.name, width, theme, found)
			}
		}
		if wide := ask[[]string](b, overflow); len(wide) > 0 {
			b.t.Errorf("%s at %d scrolls sideways: %s", v.name, width, strings.Join(wide, "; "))
		}
		if small := ask[[]string](b, smallTargets); len(small) > 0 {
			b.t.Errorf("%s at %d has small targets: %s", v.name, width, strings.Join(small, "; "))
		}
	}
	for _, fault := range b.watch.take() {
		b.t.Errorf("%s, in the browser: %s", v.name, fault)
	}
}

func yardVisits() []visit {
	return []visit{
		{name: "yard", path: "/", status: http.StatusOK},
		{name: "new rebuild", path: "/new", status: http.StatusOK},
		{name: "new rebuild, refused", path: "/new", status: http.StatusUnprocessableEntity, before: func(b *tab) {
			b.write("#name", "A car")
			b.write("#ceiling", "much")
			b.press(`form[action="/new"] .actions button`)
			b.holds("#problems", "ceiling")
		}},
		{name: "candidates", path: "/appraise", status: http.StatusOK, brief: true},
		{name: "no such page", path: "/nowhere", status: http.StatusNotFound},
	}
}

func emptyVisits(c *car) []visit {
	var list []visit
	for _, page := range []string{"now", "car", "findings", "jobs", "jobs/new", "ledger", "ledger/import", "money", "history", "zones/roof", "walk", "walk?zone=front-left-corner"} {
		list = append(list, visit{name: "empty " + page, path: c.path("/" + page), status: http.StatusOK, brief: true})
	}
	return append(list, visit{name: "yard, a car put away", path: c.path("/car"), status: http.StatusOK, before: func(b *tab) {
		b.press(`form:has(input[name="shelved"]) button`)
		b.open("/", http.StatusOK)
		b.holds("main", "Put away (1)")
	}})
}

// candidateVisits are of a car of which nothing is known yet, before it is bought.
func candidateVisits(c *car) []visit {
	at := c.path("/appraise")
	return []visit{
		{name: "empty candidate", path: at, status: http.StatusOK},
		{name: "appraise, refused", path: at, status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			ask[bool](b, "(document.querySelector('#fees').open = true)")
			b.write(`[name="from.1"]`, "100")
			b.write("#fee_tax", "120")
			b.press(`#fees .actions button`)
			b.holds("#problems", "the first band begins at 0")
		}},
	}
}

func fullVisits(c *car) []visit {
	at := func(format string, args ...any) string { return c.path(fmt.Sprintf(format, args...)) }
	list := []visit{
		{name: "job, refused", path: at("/jobs/new"), status: http.StatusUnprocessableEntity, before: func(b *tab) {
			b.write("#title", "Weld the rail")
			b.write(`input[name="routes.1.cost.low"]`, "300")
			b.write(`input[name="routes.1.cost.likely"]`, "200")
			b.write(`input[name="routes.1.cost.high"]`, "100")
			b.press(`form[action$="/jobs"] .actions button`)
		}},
		{name: "entry, refused", path: at("/ledger"), status: http.StatusUnprocessableEntity, before: func(b *tab) {
			b.write("#amount", "many")
			b.write("#what", "Bolts")
			b.press(`#enter .actions button`)
		}},
		{name: "conflict", path: at("/jobs/%d/edit", c.horn), status: http.StatusConflict, before: func(b *tab) {
			b.write("#title", "Horn, mine")
			ask[bool](b, `(document.querySelector('form[data-draft] input[name=rev]').value = '7') === '7'`)
			b.press(`form[data-draft] .actions button`)
			b.holds("main", "Changed meanwhile")
		}},
		{name: "import preview", path: at("/ledger/import"), status: http.StatusOK, before: func(b *tab) {
			b.write("#paste", "date,what,sum\n2026-02-01,Horn,24.50\n2026-03-04,Belt,310\n2026-13-01,Bad row,x")
			b.press(`main form .actions button`)
			b.holds("main", "Rows to enter")
		}},
		{name: "stopwatch, answered", path: at("/bench/stopwatch?job=%d", c.upright), status: http.StatusOK, before: func(b *tab) {
			ask[bool](b, `(document.querySelector('#taps').value = '0 on\n8 off\n300 on\n308 off\n610 on\n618 off\n920 on\n928 off') !== ''`)
			b.press(`button[name="look"]`)
			b.holds("main", "What may be the matter")
		}},
		{name: "stopwatch, refused", path: at("/bench/stopwatch"), status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.press(`button[name="save"]`)
			b.holds("#problems", "no tap yet")
		}},
		{name: "evidence", path: at("/bench/stopwatch?job=%d", c.upright), status: http.StatusOK, before: func(b *tab) {
			ask[bool](b, `(document.querySelector('#taps').value = '0\n300\n610\n930') !== ''`)
			b.press(`button[name="save"]`)
			b.holds("main", "Readings as they came in")
		}},
		{name: "what-if", path: at("/money"), status: http.StatusOK, before: func(b *tab) {
			b.do("focus", focus(".what-if input[type=range]"))
			b.key(arrowRight)
			b.await("the answer", "document.querySelector('#what-if table') !== null")
		}},
	}
	for _, page := range []string{
		"now", "car", "findings", "findings?zone=front-left-corner", "findings?words=nothing-is-like-that&q=nothing-is-like-that", "jobs", "jobs?words=nothing-is-like-that",
		fmt.Sprintf("findings/%d", c.finding), fmt.Sprintf("jobs/new?finding=%d", c.finding),
		fmt.Sprintf("jobs/%d", c.upright), fmt.Sprintf("jobs/%d", c.horn), fmt.Sprintf("jobs/%d/edit", c.upright),
		fmt.Sprintf("jobs/%d/routes/new", c.upright), fmt.Sprintf("jobs/%d/routes/%d", c.upright, c.now().Job(c.upright).Routes[0].ID),
		"ledger", fmt.Sprintf("ledger?for=%d", c.upright), fmt.Sprintf("ledger/%d", c.entry),
		"money", "history", "zones/front-left-corner", "walk", "walk?zone=bonnet", "build-file", "bench", "bench/stopwatch", "bench/recharge", "bench/listen",
	} {
		list = append(list, visit{name: page, path: at("/%s", page), status: http.StatusOK})
	}
	return list
}

// The rules are really run: a page with known faults has them found.
func TestRulesFindFaults(t *testing.T) {
	t.Parallel()
	source := needAxe(t)
	s := serve(t)
	s.pages = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprint(w, `<!doctype html><html lang="en"><head><meta name="viewport" content="width=device-width"><title>Bad</title>
<style>.dark{color:#777} @media (prefers-color-scheme: dark) {body{background:#222} .dark{color:#333}} button{padding:0;border:0;font-size:10px;height:12px;width:12px} .row{width:900px;background:#eee}</style></head>
<body><main><h1>Bad</h1><input name="a"><button>x</button><button>y</button><p class="dark">Hardly to be read</p><div class="row">wide</div></main></body></html>`)
	})
	b := newTab(t, s)
	b.theme("light")
	b.open("/", http.StatusOK)
	b.theme("dark")
	all := fmt.Sprint(b.axe(source, false)) + strings.Join(ask[[]string](b, overflow), " ") + strings.Join(ask[[]string](b, smallTargets), " ")
	for _, want := range []string{"label (", "target-size (", "color-contrast (", "908 wide", `button "x" 12.0 by 12.0`} {
		if !strings.Contains(all, want) {
			t.Errorf("%q was not found; found: %s", want, all)
		}
	}
}
