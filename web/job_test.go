package web

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// jobBench is a served book with one invented car, for the tests of the jobs'
// pages.
type jobBench struct {
	t       *testing.T
	book    *store.Book
	id      int64
	address string
	client  *http.Client
}

func newJobBench(t *testing.T) *jobBench {
	t.Helper()
	book, err := store.Open(t.Context(), t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC) }
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return "2026-05-04" })
	server, err := New(shop, Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	serving := httptest.NewServer(server)
	jar, _ := cookiejar.New(nil) // never fails without options
	b := &jobBench{t: t, book: book, address: serving.URL, client: &http.Client{Jar: jar}}
	t.Cleanup(func() {
		serving.Close()
		if err := shop.Close(); err != nil {
			t.Error(err)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	rb, err := book.Start(t.Context(), store.By{Who: "tester"}, rebuild.Car{
		Name: "Norvane Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP",
		Ceiling: amount.New(3_800_000, "GBP"), Correlation: rebuild.DefaultCorrelation,
	})
	if err != nil {
		t.Fatal(err)
	}
	b.id = rb.ID
	return b
}

func (b *jobBench) base() string { return "/r/" + strconv.FormatInt(b.id, 10) }

// do makes a change behind the pages' back.
func (b *jobBench) do(f func(*rebuild.Rebuild) (rebuild.Change, error)) int64 {
	b.t.Helper()
	_, record, err := b.book.Do(b.t.Context(), store.By{Who: "helper"}, b.id, f)
	if err != nil {
		b.t.Fatal(err)
	}
	return record.Edits[0].ID()
}

func (b *jobBench) rebuild() *rebuild.Rebuild {
	b.t.Helper()
	rb, err := b.book.Load(b.t.Context(), b.id)
	if err != nil {
		b.t.Fatal(err)
	}
	return rb
}

// addUpright enters a suspension job with a repair that may fail, a new part, and
// a bonded repair that is barred.
func (b *jobBench) addUpright() *rebuild.Job {
	b.t.Helper()
	finding := b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddFinding(rebuild.Finding{
			Zone: "front-left-corner", What: "Upright cracked at the lower joint", HowFound: rebuild.Seen,
			Severity: rebuild.Danger, Safety: true, On: "2026-05-01",
		})
	})
	id := b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{
			Title: "Front left upright", Zone: "front-left-corner", Findings: []int64{finding}, Stage: 6,
			Safety: rebuild.SafetySuspension, Needed: 1, State: rebuild.JobOpen,
			Reference: amount.New(140_000, "GBP"), ReferenceFrom: "Invented offer",
			Routes: []rebuild.Route{
				{
					Kind: rebuild.Repair, Method: rebuild.MethodMachined, Name: "Bush the bore", Cost: uncertain.Range{Low: 240, Likely: 320, High: 520},
					Hours: uncertain.Range{Low: 3, Likely: 4, High: 7}, Works: 0.8,
					Fallback: &rebuild.Fallback{Name: "a new one after all", Cost: uncertain.Certain(600), Hours: uncertain.Certain(2)}, Basis: "own estimate",
				},
				{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "New upright", Cost: uncertain.Certain(640), Hours: uncertain.Certain(2), Works: 1, Basis: "Invented offer"},
				{Kind: rebuild.Repair, Method: rebuild.MethodBonded, Name: "Fill the crack", Cost: uncertain.Certain(20), Works: 1},
			},
		})
	})
	return b.rebuild().Job(id)
}

type answer struct {
	status int
	body   string
	path   string
}

func (b *jobBench) read(response *http.Response, err error) answer {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return answer{response.StatusCode, string(body), response.Request.URL.Path}
}

func (b *jobBench) get(path string) answer {
	b.t.Helper()
	return b.read(b.client.Get(b.address + b.base() + path))
}

func (b *jobBench) post(path string, fields url.Values) answer {
	b.t.Helper()
	return b.read(b.client.PostForm(b.address+b.base()+path, fields))
}

// postFile sends a form with one file.
func (b *jobBench) postFile(path string, fields map[string]string, field, name, content string) answer {
	b.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for key, value := range fields {
		if err := form.WriteField(key, value); err != nil {
			b.t.Fatal(err)
		}
	}
	file, err := form.CreateFormFile(field, name)
	if err != nil {
		b.t.Fatal(err)
	}
	if _, err := io.WriteString(file, content); err != nil {
		b.t.Fatal(err)
	}
	if err := form.Close(); err != nil {
		b.t.Fatal(err)
	}
	return b.read(b.client.Post(b.address+b.base()+path, form.FormDataContentType(), &body))
}

// want fails unless the answer has the status and holds all texts.
func (b *jobBench) want(a answer, status int, texts ...string) {
	b.t.Helper()
	if a.status != status {
		b.t.Fatalf("status %d at %s; want %d\n%s", a.status, a.path, status, a.body)
	}
	for _, text := range texts {
		if !strings.Contains(a.body, text) {
			b.t.Errorf("%s does not hold %q", a.path, text)
		}
	}
}

func typedJob(title string) url.Values {
	return url.Values{
		"title": {title}, "zone": {"front-left-corner"}, "safety": {"suspension"}, "request": {"t-" + title},
		"routes.1.kind": {"repair"}, "routes.1.method": {"plain"}, "routes.1.name": {"Helicoil"}, "routes.1.choose": {"1"},
		"routes.1.cost.low": {"100"}, "routes.1.cost.likely": {"150"}, "routes.1.cost.high": {"300"}, "routes.1.works": {"80"},
		"routes.1.fallback.name": {"new part"}, "routes.1.fallback.cost.likely": {"400"},
	}
}

func TestJobIsEnteredWithItsFirstRoute(t *testing.T) {
	b := newJobBench(t)
	finding := b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddFinding(rebuild.Finding{Zone: "front-left-corner", What: "Threads pulled", HowFound: rebuild.Seen, Severity: rebuild.Major, Safety: true, On: "2026-05-01"})
	})
	b.want(b.get(fmt.Sprintf("/jobs/new?finding=%d", finding)), http.StatusOK,
		`value="Threads pulled"`, `value="front-left-corner" selected`, `name="safety" value="suspension" checked`, fmt.Sprintf(`name="findings" value="%d" checked`, finding))
	fields := typedJob("Wheel studs")
	fields.Set("findings", strconv.FormatInt(finding, 10))
	fields.Set("reference", "1,250.50")
	b.want(b.post("/jobs", fields), http.StatusOK, "Wheel studs", "Helicoil", "Chosen", "Undo")
	b.want(b.post("/jobs", fields), http.StatusOK, "Wheel studs") // sent twice
	rb := b.rebuild()
	if len(rb.Jobs) != 1 {
		t.Fatalf("%d jobs; want one, though the form came twice", len(rb.Jobs))
	}
	j := rb.Jobs[0]
	if r := j.ChosenRoute(); r == nil || r.Works != 0.8 || r.Fallback == nil || r.Fallback.Cost.Likely != 400 || r.Cost.High != 300 {
		t.Errorf("the first route came in as %+v", r)
	}
	if !j.Settles(finding) || j.Reference.Minor != 125_050 || j.Estimate == nil {
		t.Errorf("job came in as %+v", j)
	}
}

func TestRefusedJobKeepsWhatWasTyped(t *testing.T) {
	b := newJobBench(t)
	fields := typedJob("Weld the rail")
	fields.Set("routes.1.method", "bonded")
	fields.Set("note", "ask the welder")
	b.want(b.post("/jobs", fields), http.StatusUnprocessableEntity, "Not saved yet", "cannot be the chosen one", "Weld the rail", "ask the welder", `value="Helicoil"`)
	fields.Set("routes.1.method", "plain")
	fields.Set("routes.1.cost.low", "200") // above likely
	b.want(b.post("/jobs", fields), http.StatusUnprocessableEntity, "low (200) is above likely (150)", `value="200"`)
	fields.Set("safety", "")
	b.want(b.post("/jobs", fields), http.StatusUnprocessableEntity, "say what the job touches")
	if n := len(b.rebuild().Jobs); n != 0 {
		t.Errorf("%d jobs were saved", n)
	}
}

func TestRoutesStandSideBySide(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	page := b.get(fmt.Sprintf("/jobs/%d", job.ID))
	b.want(page, http.StatusOK, "Bush the bore", "New upright", "Fill the crack", "Barred here:", "it can let go without warning",
		"Repair first pays as long as you believe it works more than", "Upright cracked at the lower joint", "no route chosen", "Show the working")
	if n := strings.Count(page.body, ">Choose</button>"); n != 2 {
		t.Errorf("%d routes can be chosen; want 2: the barred one cannot", n)
	}
	if n := strings.Count(page.body, "fig-range-bar"); n != 3 {
		t.Errorf("%d range bars; want 3", n)
	}
}

func TestChoosingOneTap(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	path := fmt.Sprintf("/jobs/%d", job.ID)
	choose := func(route int64, rev int, request string) answer {
		return b.post(path+"/choose", url.Values{"route": {strconv.FormatInt(route, 10)}, "rev": {strconv.Itoa(rev)}, "request": {request}})
	}
	b.want(choose(job.Routes[1].ID, job.Rev, "one"), http.StatusOK, "Done: you chose &#34;New upright&#34;")
	if now := b.rebuild().Job(job.ID); now.Chosen != job.Routes[1].ID || now.Estimate == nil {
		t.Fatalf("after the tap %d is chosen; want %d", now.Chosen, job.Routes[1].ID)
	}
	b.want(choose(job.Routes[0].ID, job.Rev, "two"), http.StatusConflict, "Changed meanwhile", `href="`+b.base()+path+`"`)
	rev := b.rebuild().Job(job.ID).Rev
	b.want(choose(job.Routes[2].ID, rev, "three"), http.StatusUnprocessableEntity, "it can let go without warning")
	b.want(choose(0, rev, "four"), http.StatusOK, "left the route")
	if now := b.rebuild().Job(job.ID); now.Chosen != 0 {
		t.Errorf("%d is still chosen", now.Chosen)
	}
}

func TestRouteIsAddedEditedDeleted(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	path := fmt.Sprintf("/jobs/%d", job.ID)
	b.want(b.get(path+"/routes/new"), http.StatusOK, "Another route", "Steering and suspension")
	fields := url.Values{"kind": {"used"}, "method": {"plain"}, "cost.likely": {"180"}, "works": {"70"}, "request": {"a"}}
	b.want(b.post(path+"/routes", fields), http.StatusUnprocessableEntity, "needs a fallback", `value="180"`)
	fields.Set("fallback.cost.likely", "640")
	b.want(b.post(path+"/routes", fields), http.StatusOK, "Used part")
	now := b.rebuild().Job(job.ID)
	used := now.Routes[len(now.Routes)-1]
	at := fmt.Sprintf("%s/routes/%d", path, used.ID)
	b.want(b.get(at), http.StatusOK, `name="works" value="70"`, `value="640"`)
	fields.Set("name", "From the breaker")
	fields.Set("rev", strconv.Itoa(now.Rev))
	fields.Set("request", "b")
	b.want(b.post(at, fields), http.StatusOK, "From the breaker")
	fields.Set("request", "c")
	b.want(b.post(at, fields), http.StatusConflict, "Changed meanwhile", "From the breaker")
	rev := b.rebuild().Job(job.ID).Rev
	b.want(b.post(at+"/delete", url.Values{"rev": {strconv.Itoa(rev)}}), http.StatusOK, "deleted the route")
	b.want(b.get(at), http.StatusNotFound)
}

func TestJobIsEdited(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	path := fmt.Sprintf("/jobs/%d", job.ID)
	b.want(b.get(path+"/edit"), http.StatusOK, `value="Front left upright"`, `value="1400.00"`, `value="Invented offer"`)
	fields := url.Values{"title": {"Left upright"}, "safety": {"none"}, "rev": {strconv.Itoa(job.Rev)}, "needed": {"60"}, "request": {"e"}}
	b.want(b.post(path, fields), http.StatusOK, "Left upright", "needed with 60")
	now := b.rebuild().Job(job.ID)
	if len(now.Routes) != 3 || now.Needed != 0.6 || len(now.Findings) != 0 {
		t.Errorf("after the edit the job is %+v", now)
	}
	fields.Set("title", "Mine")
	fields.Set("request", "f")
	b.want(b.post(path, fields), http.StatusConflict, "Mine", "Left upright")
	// A class under which the chosen route would be barred is refused.
	b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.ChooseRoute(job.ID, now.Rev, job.Routes[2].ID)
	})
	fields = url.Values{"title": {"Left upright"}, "safety": {"brake"}, "rev": {strconv.Itoa(b.rebuild().Job(job.ID).Rev)}}
	b.want(b.post(path, fields), http.StatusUnprocessableEntity, "The route that is chosen cannot be the chosen one")
}

func TestOutcome(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	path := fmt.Sprintf("/jobs/%d", job.ID)
	fields := url.Values{"state": {"proven"}, "rev": {"0"}, "hours_spent": {"3,5"}, "request": {"p"}}
	b.want(b.post(path+"/outcome", fields), http.StatusUnprocessableEntity, "proven needs evidence", `value="3,5"`)
	fields.Set("proof", "crack test clean")
	b.want(b.post(path+"/outcome", fields), http.StatusOK, "crack test clean", "no cost written down")
	now := b.rebuild().Job(job.ID)
	if now.State != rebuild.JobProven || now.DoneOn != "2026-05-04" || now.HoursSpent != 3.5 {
		t.Errorf("the outcome came in as %+v", now)
	}
	b.want(b.post(path+"/outcome", url.Values{"state": {"waiting"}, "waiting_for": {"the welder"}, "rev": {strconv.Itoa(now.Rev)}}), http.StatusOK, "waiting for the welder")
	if now := b.rebuild().Job(job.ID); now.DoneOn != "" || now.State != rebuild.JobWaiting {
		t.Errorf("a job that waits is still said to be done on %q", now.DoneOn)
	}
}

// A photo that came with a refused form is still there when it is sent again.
func TestProofPhotoOutlivesARefusal(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	path := fmt.Sprintf("/jobs/%d", job.ID)
	refused := b.postFile(path+"/outcome", map[string]string{"state": "done", "hours_spent": "many", "rev": "0"}, "photos", "torque.txt", "invented torque record")
	b.want(refused, http.StatusUnprocessableEntity, "is not a number", "torque.txt", `name="keep"`)
	_, rest, _ := strings.Cut(refused.body, `name="keep" value="`)
	hash, _, _ := strings.Cut(rest, `"`)
	b.want(b.post(path+"/outcome", url.Values{
		"state": {"proven"}, "rev": {"0"}, "keep": {hash}, "name." + hash: {"torque.txt"}, "caption." + hash: {"lower joint"},
	}), http.StatusOK, "torque.txt")
	now := b.rebuild().Job(job.ID)
	if now.State != rebuild.JobProven || len(now.Proofs) != 1 || now.Proofs[0].Caption != "lower joint" {
		t.Errorf("the job is %s with the proofs %+v; want proven by one", now.State, now.Proofs)
	}
}

func TestJobIsDeletedAndComesBack(t *testing.T) {
	b := newJobBench(t)
	job := b.addUpright()
	b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddEntries(rebuild.Entry{On: "2026-05-02", Amount: amount.New(9_900, "GBP"), Kind: rebuild.EntryPart, What: "Bush", JobID: job.ID})
	})
	path := fmt.Sprintf("/jobs/%d", job.ID)
	b.want(b.get(path), http.StatusOK, "Bush", "£99.00")
	b.want(b.post(path+"/delete", url.Values{"rev": {strconv.Itoa(job.Rev)}, "request": {"d"}}), http.StatusOK, "deleted the job", "Undo")
	b.want(b.get(path), http.StatusNotFound)
	b.want(b.post(path, url.Values{"title": {"typed in vain"}, "safety": {"none"}, "rev": {"0"}}), http.StatusConflict, "typed in vain", "is not there any more")
	b.want(b.post("/undo", url.Values{"back": {b.base() + path}}), http.StatusOK, "Front left upright", "£99.00")
}

func TestJobsAreFiltered(t *testing.T) {
	b := newJobBench(t)
	b.want(b.get("/jobs"), http.StatusOK, "No job yet")
	b.addUpright()
	b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "=HYPERLINK(1)", Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobWaiting, WaitingFor: "a price", Note: "+44 call"})
	})
	b.want(b.get("/jobs"), http.StatusOK, "Front left upright", "=HYPERLINK(1)", "waiting for a price", "no route yet", "no route chosen", `All <span class="count">2</span>`)
	for query, upright := range map[string]bool{
		"?state=open": true, "?state=waiting": false, "?zone=front-left-corner": true, "?safety=any": true, "?safety=none": false,
		"?missing=choice": true, "?missing=wait": false, "?words=UPRIGHT+bush": true, "?words=nothing": false, "?state=ahead": true,
	} {
		if got := strings.Contains(b.get("/jobs"+query).body, "Front left upright"); got != upright {
			t.Errorf("%s shows the upright: %v; want %v", query, got, upright)
		}
	}
	csv := b.get("/jobs.csv?state=waiting")
	b.want(csv, http.StatusOK, "'=HYPERLINK(1)", "'+44 call")
	if strings.Contains(csv.body, "upright") {
		t.Error("the table holds a job that the filter leaves out")
	}
}

func TestJobsThatAreNotThere(t *testing.T) {
	b := newJobBench(t)
	for _, path := range []string{"/jobs/77", "/jobs/x", "/jobs/77/edit", "/jobs/77/routes/new", "/jobs/new?finding=77"} {
		b.want(b.get(path), http.StatusNotFound)
	}
}

// Two thousand jobs come in pages of a hundred; how long one takes is told, and
// measured by BenchmarkPages.
func TestManyJobs(t *testing.T) {
	b := newJobBench(t)
	var jobs []rebuild.Job
	for i := range 2000 {
		jobs = append(jobs, rebuild.Job{
			Title: fmt.Sprintf("Job %d", i), Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobStates[i%3], Reference: amount.New(100_000, "GBP"),
			Routes: []rebuild.Route{{Kind: rebuild.Repair, Method: rebuild.MethodPlain, Name: "Mend", Cost: uncertain.Range{Low: 100, Likely: 150, High: 300}, Works: 0.9, Fallback: &rebuild.Fallback{Cost: uncertain.Certain(400)}}},
		})
	}
	b.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return manyJobs(rb, jobs) })
	b.want(b.get("/jobs?page=20"), http.StatusOK, "1901 to 2000 of 2000")
	began := time.Now()
	b.want(b.get("/jobs"), http.StatusOK, "1 to 100 of 2000", `rel="next"`)
	t.Logf("the list of 2,000 jobs took %v", time.Since(began))
}

// manyJobs makes one change of many jobs, each added to the rebuild that has the
// ones before.
func manyJobs(rb *rebuild.Rebuild, jobs []rebuild.Job) (rebuild.Change, error) {
	all := rebuild.Change{What: "added many"}
	for _, j := range jobs {
		c, err := rb.AddJob(j)
		if err != nil {
			return all, err
		}
		all.Edits = append(all.Edits, c.Edits...)
		if rb, err = rb.Apply(c); err != nil {
			return all, err
		}
	}
	return all, nil
}
