package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// ledgerRig is a server over a real book in a temporary folder, with one invented
// rebuild kept in pounds.
type ledgerRig struct {
	testing.TB
	book   *store.Book
	server *Server
	id     int64
}

func newLedgerRig(t testing.TB) *ledgerRig {
	t.Helper()
	now := func() time.Time { return time.Date(2026, 3, 21, 10, 0, 0, 0, time.UTC) }
	book, err := store.Open(context.Background(), t.TempDir(), store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return "2026-03-21" })
	t.Cleanup(func() {
		_ = shop.Close()
		_ = book.Close()
	})
	server, err := New(shop, Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	car := rebuild.Car{Name: "The blue one", Maker: "Norvane", Model: "Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", Ceiling: amount.New(3_800_000, "GBP")}
	rb, err := book.Start(context.Background(), store.By{Who: "test"}, car)
	if err != nil {
		t.Fatal(err)
	}
	return &ledgerRig{t, book, server, rb.ID}
}

func (g *ledgerRig) now() *rebuild.Rebuild {
	rb, err := g.book.Load(context.Background(), g.id)
	if err != nil {
		g.Fatal(err)
	}
	return rb
}

func (g *ledgerRig) do(f func(*rebuild.Rebuild) (rebuild.Change, error)) {
	g.Helper()
	if _, _, err := g.book.Do(context.Background(), store.By{Who: "test"}, g.id, f); err != nil {
		g.Fatal(err)
	}
}

func (g *ledgerRig) job(title string, state rebuild.JobState) int64 {
	g.Helper()
	j := rebuild.Job{Title: title, State: state, Needed: 1, Safety: rebuild.SafetyNone}
	if j.Finished() {
		j.DoneOn = "2026-03-01"
	}
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddJob(j) })
	jobs := g.now().Jobs
	return jobs[len(jobs)-1].ID
}

func (g *ledgerRig) entry(e rebuild.Entry) int64 {
	g.Helper()
	if e.On == "" {
		e.On = "2026-03-02"
	}
	if e.Kind == "" {
		e.Kind = rebuild.EntryPart
	}
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEntries(e) })
	entries := g.now().Entries
	return entries[len(entries)-1].ID
}

// path is an address below the rebuild.
func (g *ledgerRig) path(p string) string { return fmt.Sprintf("/r/%d%s", g.id, p) }

func (g *ledgerRig) get(p string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+g.path(p), nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	g.server.ServeHTTP(w, r)
	return w
}

func (g *ledgerRig) post(p string, values url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1"+g.path(p), strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	g.server.ServeHTTP(w, r)
	return w
}

// send posts a form with one file.
func (g *ledgerRig) send(p string, values url.Values, field, name, mediaType string, content []byte) *httptest.ResponseRecorder {
	g.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for key, list := range values {
		for _, v := range list {
			_ = form.WriteField(key, v)
		}
	}
	part, err := form.CreatePart(map[string][]string{
		"Content-Disposition": {fmt.Sprintf(`form-data; name=%q; filename=%q`, field, name)}, "Content-Type": {mediaType},
	})
	if err != nil {
		g.Fatal(err)
	}
	_, _ = part.Write(content)
	_ = form.Close()
	r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1"+g.path(p), &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	g.server.ServeHTTP(w, r)
	return w
}

func fields(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return v
}

func (g *ledgerRig) wants(w *httptest.ResponseRecorder, status int, texts ...string) {
	g.Helper()
	if w.Code != status {
		g.Fatalf("status %d instead of %d: %s", w.Code, status, plainText(w.Body.String()))
	}
	body := plainText(w.Body.String())
	for _, text := range texts {
		if !strings.Contains(body, text) {
			g.Errorf("the page does not say %q:\n%s", text, body)
		}
	}
}

var (
	tagPattern   = regexp.MustCompile(`<[^>]*>`)
	blankPattern = regexp.MustCompile(`\s+`)
)

// plainText is what a page says, without its tags.
func plainText(page string) string {
	page = tagPattern.ReplaceAllString(page, " ")
	page = strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&amp;", "&", "&#43;", "+", "&lt;", "<", "&gt;", ">").Replace(page)
	return blankPattern.ReplaceAllString(page, " ")
}

func hiddenValue(page, name string) string {
	m := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		return ""
	}
	return strings.NewReplacer("&#43;", "+", "&amp;", "&").Replace(m[1])
}

func TestEntryAdd(t *testing.T) {
	for _, c := range []struct {
		name       string
		fields     url.Values
		minor, tax int64
		kind       rebuild.EntryKind
	}{
		{"a part", fields("amount", "12.50", "what", "Brake hose", "kind", "part"), 1250, 0, rebuild.EntryPart},
		{"a comma and a sign", fields("amount", "£1.234,50", "what", "Gearbox", "kind", "part"), 123450, 0, rebuild.EntryPart},
		{"the switch", fields("amount", "40", "refund", "1", "tax", "6.67", "supplier", "Fernbrook Motor Factors", "kind", "part"), -4000, -667, rebuild.EntryPart},
		{"a minus", fields("amount", "-40", "what", "Core returned", "kind", "part"), -4000, 0, rebuild.EntryPart},
		{"switch and minus", fields("amount", "-40", "refund", "1", "what", "Core returned", "kind", "part"), -4000, 0, rebuild.EntryPart},
		{"a part sold", fields("amount", "150", "what", "Old seats", "kind", "sale"), -15000, 0, rebuild.EntrySale},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := newLedgerRig(t)
			w := g.post("/ledger", c.fields)
			if w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), g.path("/ledger?did=")) {
				t.Fatalf("%d to %q: %s", w.Code, w.Header().Get("Location"), plainText(w.Body.String()))
			}
			e := g.now().Entries[0]
			if e.Amount.Minor != c.minor || e.Tax.Minor != c.tax || e.Kind != c.kind || e.On != "2026-03-21" {
				t.Errorf("entered %+v", e)
			}
		})
	}
}

func TestEntryAddTwiceCountsOnce(t *testing.T) {
	g := newLedgerRig(t)
	form := fields("amount", "5", "what", "Clips", "kind", "part", "request", "ABCDEF")
	first, again := g.post("/ledger", form), g.post("/ledger", form)
	if first.Code != 303 || again.Code != 303 || len(g.now().Entries) != 1 {
		t.Errorf("%d, %d, %d entries", first.Code, again.Code, len(g.now().Entries))
	}
}

func TestEntryRefusedKeepsWhatWasTyped(t *testing.T) {
	g := newLedgerRig(t)
	w := g.send("/ledger", fields("amount", "twelve", "what", "Brake hose", "kind", "tool"), "photos", "r.png", "image/png", onePixel)
	g.wants(w, 422, "Not saved yet", "the amount")
	page := w.Body.String()
	for _, want := range []string{`value="twelve"`, `value="Brake hose"`, `value="tool" checked`, `name="keep"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the form lost %s", want)
		}
	}
	hash := hiddenValue(page, "keep")
	g.wants(g.post("/ledger", fields("amount", "12", "what", "Brake hose", "kind", "tool", "keep", hash, "caption."+hash, "The bill")), 303)
	if r := g.now().Entries[0].Receipts; len(r) != 1 || r[0].Hash != hash || r[0].Caption != "The bill" {
		t.Errorf("receipts %+v", r)
	}
}

// onePixel is a PNG of one pixel.
var onePixel = []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89\x00\x00\x00\rIDATx\x9cc\xf8\xff\xff?\x03\x00\x08\xfc\x02\xfe\xa7\x9a\xa0\xa0\x00\x00\x00\x00IEND\xaeB`\x82")

func TestEntryEditAndReceipts(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Renew the brake hoses", rebuild.JobOpen)
	id := g.entry(rebuild.Entry{Amount: amount.New(-1200, "GBP"), What: "Core returned"})
	at := fmt.Sprintf("/ledger/%d", id)
	w := g.get(at)
	g.wants(w, 200, "Core returned", "money back", "Renew the brake hoses")
	if page := w.Body.String(); !strings.Contains(page, `name="amount" value="12.00"`) || !strings.Contains(page, `name="refund" value="1" checked`) {
		t.Error("money back is not shown by the switch")
	}
	form := fields("rev", "0", "amount", "12", "refund", "1", "on", "2026-03-05", "what", "Core", "kind", "part", "job", strconv.FormatInt(job, 10))
	g.wants(g.send(at, form, "photos", "bill.png", "image/png", onePixel), 303)
	e := g.now().Entry(id)
	if e.What != "Core" || e.JobID != job || e.Amount.Minor != -1200 || len(e.Receipts) != 1 {
		t.Fatalf("%+v", e)
	}
	form = fields("rev", "1", "amount", "12", "refund", "1", "on", "2026-03-05", "what", "Core", "kind", "part", "keep", e.Receipts[0].Hash, "caption."+e.Receipts[0].Hash, "front")
	g.wants(g.post(at, form), 303)
	if e = g.now().Entry(id); len(e.Receipts) != 1 || e.Receipts[0].Caption != "front" || e.JobID != 0 {
		t.Fatalf("%+v", e)
	}
	form.Del("keep")
	form.Set("rev", "2")
	g.wants(g.post(at, form), 303)
	if e = g.now().Entry(id); len(e.Receipts) != 0 {
		t.Fatalf("%+v", e)
	}
}

// A sale that was paid back to the buyer stays so when something else about it is
// edited.
func TestEntryEditKeepsDirectionOfASale(t *testing.T) {
	g := newLedgerRig(t)
	id := g.entry(rebuild.Entry{Amount: amount.New(900, "GBP"), What: "Buyer paid back", Kind: rebuild.EntrySale})
	g.wants(g.post(fmt.Sprintf("/ledger/%d", id), fields("rev", "0", "amount", "9", "on", "2026-03-05", "what", "Buyer of the seats paid back", "kind", "sale")), 303)
	if e := g.now().Entry(id); e.Amount.Minor != 900 {
		t.Errorf("%+v", e)
	}
}

func TestEntryConflicts(t *testing.T) {
	g := newLedgerRig(t)
	id := g.entry(rebuild.Entry{Amount: amount.New(1200, "GBP"), What: "Hose"})
	at := fmt.Sprintf("/ledger/%d", id)
	edit := fields("rev", "0", "amount", "13", "on", "2026-03-05", "what", "Hose, long", "kind", "part")
	g.wants(g.post(at, edit), 303)
	w := g.post(at, edit)
	g.wants(w, 409, "Changed meanwhile", "Hose, long")
	g.wants(g.post(at+"/delete", fields("rev", "0")), 409)
	w = g.post(at+"/job", fields("rev", "0", "none", "1"))
	g.wants(w, 409)
	if !strings.Contains(w.Body.String(), `href="`+g.path(at)+`"`) {
		t.Error("keeping theirs does not lead to the entry")
	}
	g.wants(g.post(at+"/delete", fields("rev", "1")), 303)
	g.wants(g.post(at, edit), 409, "not there any more")
	g.wants(g.get(at), 404)
	g.wants(g.post("/undo", fields("back", g.path("/ledger"))), 303)
	if g.now().Entry(id) == nil {
		t.Error("undo did not bring the entry back")
	}
}

func TestEntryAssign(t *testing.T) {
	g := newLedgerRig(t)
	g.job("Straighten the bonnet", rebuild.JobOpen)
	hoses := g.job("Renew the brake hoses", rebuild.JobOpen)
	id := g.entry(rebuild.Entry{Amount: amount.New(1200, "GBP"), What: "Braided hose, front"})
	general := g.entry(rebuild.Entry{Amount: amount.New(300, "GBP"), What: "Gloves", Kind: rebuild.EntryConsumable})
	w := g.get("/ledger")
	g.wants(w, 200, "Costs without a job")
	form := regexp.MustCompile(`(?s)<form method="post" action="` + g.path(fmt.Sprintf("/ledger/%d/job", id)) + `".*?</form>`).FindString(w.Body.String())
	if !strings.Contains(form, fmt.Sprintf(`<option value="%d" selected>`, hoses)) {
		t.Errorf("the likely job is not proposed: %s", form)
	}
	g.wants(g.post(fmt.Sprintf("/ledger/%d/job", id), fields("rev", "0", "job", strconv.FormatInt(hoses, 10))), 303)
	g.wants(g.post(fmt.Sprintf("/ledger/%d/job", general), fields("rev", "0", "none", "1", "job", strconv.FormatInt(hoses, 10))), 303)
	if e := g.now().Entry(id); e.JobID != hoses || e.General {
		t.Errorf("%+v", e)
	}
	if e := g.now().Entry(general); e.JobID != 0 || !e.General {
		t.Errorf("%+v", e)
	}
	g.wants(g.get("/ledger"), 200, "Nothing forgotten")
	g.wants(g.post(fmt.Sprintf("/ledger/%d/job", id), fields("rev", "1")), 400, "Choose the job")
	g.wants(g.post(fmt.Sprintf("/ledger/%d/job", id), fields("rev", "1", "job", "999")), 422, "not there any more")
}

func TestJobsWithoutCost(t *testing.T) {
	g := newLedgerRig(t)
	id := g.job("Clean the drains", rebuild.JobDone)
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.SetOutcome(id, 0, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-03-01", HoursSpent: 2, Proof: "water runs off"})
	})
	g.wants(g.get("/ledger"), 200, "Finished jobs without a cost", "Clean the drains")
	g.wants(g.get(fmt.Sprintf("/ledger?for=%d", id)), 200, "What did “Clean the drains” cost?")
	g.wants(g.post(fmt.Sprintf("/jobs/%d/no-cost", id), fields("rev", "0")), 409)
	g.wants(g.post(fmt.Sprintf("/jobs/%d/no-cost", id), fields("rev", "1")), 303)
	if j := g.now().Job(id); !j.CostNothing || j.HoursSpent != 2 || j.Proof != "water runs off" {
		t.Errorf("%+v", j)
	}
	g.wants(g.post("/jobs/77/no-cost", fields("rev", "1")), 404)
}

func TestLedgerFilter(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Renew the brake hoses", rebuild.JobOpen)
	g.entry(rebuild.Entry{Amount: amount.New(10000, "GBP"), What: "Auction fee", Kind: rebuild.EntryFee, On: "2026-01-05"})
	g.entry(rebuild.Entry{Amount: amount.New(2500, "GBP"), What: "Hose", JobID: job, On: "2026-02-10"})
	g.entry(rebuild.Entry{Amount: amount.New(-500, "GBP"), What: "Hose returned", JobID: job, On: "2026-02-20"})
	for _, c := range []struct{ query, says string }{
		{"", "3 entries, the newest first"},
		{"?words=hose", "2 entries of 3 found, £20.00 in all"},
		{"?words=hose+-returned", "1 entry of 3 found, £25.00 in all"},
		{"?kind=fee", "1 entry of 3 found, £100.00"},
		{fmt.Sprintf("?job=%d", job), "2 entries of 3 found, £20.00"},
		{"?job=without", "1 entry of 3 found, £100.00"},
		{"?from=2026-02-01&to=2026-02-10", "1 entry of 3 found, £25.00"},
		{"?least=20&most=50", "1 entry of 3 found, £25.00"},
		{"?receipt=with", "0 entries of 3 found"},
		{"?from=soon", `"soon" is not a date`},
		{"?least=much", "is not a sum of money"},
	} {
		w := g.get("/ledger"+c.query, "Accept-Language", "en-GB")
		g.wants(w, 200, c.says)
	}
	part := g.get("/ledger?words=hose", "HX-Request", "true").Body.String()
	if !strings.HasPrefix(strings.TrimSpace(part), `<div id="found"`) || strings.Contains(part, "<html") {
		t.Errorf("not just the part: %.200s", part)
	}
}

func TestLedgerPagesAndBalance(t *testing.T) {
	g := newLedgerRig(t)
	var entries []rebuild.Entry
	for i := range 120 {
		entries = append(entries, rebuild.Entry{On: "2026-01-01", Amount: amount.New(100, "GBP"), What: fmt.Sprint("Bolt ", i), Kind: rebuild.EntryTool})
	}
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEntries(entries...) })
	g.wants(g.get("/ledger", "Accept-Language", "en-GB"), 200, "Page 1 of 3", "Bolt 119", "Spent by then £120.00", "Older")
	g.wants(g.get("/ledger?page=3&kind=tool", "Accept-Language", "en-GB"), 200, "Page 3 of 3", "Bolt 0", "Spent by then £1.00", "Newer")
	g.wants(g.get("/ledger?page=99"), 200, "Page 3 of 3")
}

func TestLedgerEmpty(t *testing.T) {
	g := newLedgerRig(t)
	g.wants(g.get("/ledger"), 200, "Nothing is written down yet", "Enter a cost")
}

func TestLedgerCSV(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Renew the brake hoses", rebuild.JobOpen)
	g.entry(rebuild.Entry{Amount: amount.New(-2500, "GBP"), What: `=HYPERLINK("x")`, Supplier: "Tor, Bay", JobID: job, On: "2026-02-10"})
	g.entry(rebuild.Entry{Amount: amount.New(2500, "GBP"), What: "Gloves", Kind: rebuild.EntryTool, General: true, On: "2026-02-09"})
	w := g.get("/ledger.csv")
	body, _ := io.ReadAll(w.Body)
	want := "Date,Amount,Currency,Tax,Kind,Supplier,What,Job,No job on purpose,Receipts\r\n" +
		"2026-02-09,25.00,GBP,0.00,tool,,Gloves,,yes,\r\n" +
		"2026-02-10,-25.00,GBP,0.00,part,\"Tor, Bay\",\"'=HYPERLINK(\"\"x\"\")\",Renew the brake hoses,,\r\n"
	if string(body) != want {
		t.Errorf("got\n%s\nwant\n%s", body, want)
	}
	if got := g.get("/ledger.csv?kind=tool").Body.String(); strings.Count(got, "\n") != 2 {
		t.Errorf("the filter was not applied: %s", got)
	}
}

func TestEntrySlips(t *testing.T) {
	g := newLedgerRig(t)
	for _, c := range []struct {
		amount, tax, refund, says string
	}{
		{"0.00", "", "", "the amount is nothing"},
		{"30", "-5", "", "the tax is below zero although the amount is not"},
		{"12.345", "-5", "", "Read as £12,345.00"},
		{"lots", "", "", "\"lots\" is not a sum of money Amount"},
	} {
		w := g.post("/ledger", fields("amount", c.amount, "tax", c.tax, "what", "Hose", "kind", "part"))
		g.wants(w, 422, c.says)
		if strings.Contains(w.Body.String(), "Read as") != (c.amount == "12.345") {
			t.Errorf("%s: how it was read is told where no other reading is possible, or not where one is", c.amount)
		}
	}
	g.wants(g.post("/ledger", fields("amount", "30", "tax", "5", "refund", "1", "what", "Hose", "kind", "part")), 303)
	if e := g.now().Entries[0]; e.Amount.Minor != -3000 || e.Tax.Minor != -500 {
		t.Errorf("a refund with its tax became %+v", e)
	}
}

// The journal keeps plain sums; pages write them as the reader's locale does.
func TestWhatWasDoneIsToldInTheReadersLocale(t *testing.T) {
	g := newLedgerRig(t)
	w := g.post("/ledger", fields("amount", "1234.5", "what", "Hose, 12.00 GBP each", "kind", "part"))
	g.wants(w, 303)
	page := g.get("/history").Body.String()
	for _, want := range []string{"Hose, 12.00 GBP each&#34;, £1,234.50", "<td>Amount</td><td></td><td>£1,234.50</td>"} {
		if !strings.Contains(page, want) {
			t.Errorf("the history lacks %q", want)
		}
	}
	if got := (Frame{style: amount.NewStyle("de")}).Told(`deleted the cost "x", -1234.50 EUR`); got != "deleted the cost \"x\", \u22121.234,50\u00a0€" {
		t.Errorf("told as %q", got)
	}
}
