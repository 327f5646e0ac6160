package web

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// formOf reads a page's form as a browser would send it.
func formOf(page, action string) url.Values {
	start := strings.Index(page, `action="`+action+`"`)
	if start < 0 {
		return nil
	}
	page = page[start:]
	page = page[:strings.Index(page, "</form>")]
	v := url.Values{}
	for _, m := range regexp.MustCompile(`(?s)<textarea name="([^"]+)"[^>]*>\n?(.*?)</textarea>`).FindAllStringSubmatch(page, -1) {
		v.Add(m[1], html.UnescapeString(m[2]))
	}
	for _, m := range regexp.MustCompile(`<input [^>]*>`).FindAllString(page, -1) {
		name, value := attribute(m, "name"), attribute(m, "value")
		box := strings.Contains(m, `type="checkbox"`) || strings.Contains(m, `type="radio"`)
		if name != "" && (!box || strings.Contains(m, " checked")) && !strings.Contains(m, `type="file"`) {
			v.Add(name, value)
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<select ([^>]*)>(.*?)</select>`).FindAllStringSubmatch(page, -1) {
		options := regexp.MustCompile(`<option [^>]*>`).FindAllString(m[2], -1)
		chosen := options[0]
		for _, o := range options {
			if strings.Contains(o, " selected") {
				chosen = o
			}
		}
		v.Add(attribute(m[1], "name"), attribute(chosen, "value"))
	}
	return v
}

func attribute(tag, name string) string {
	m := regexp.MustCompile(`(?:^|\s)` + name + `="([^"]*)"`).FindStringSubmatch(tag)
	if m == nil {
		return ""
	}
	return html.UnescapeString(m[1])
}

const pastedBills = "Date\tPaid to\tDetails\tTotal\tJob\n" +
	"2026-02-03\tFernbrook Motor Factors\tBrake hose\t£25.00\trenew the brake hoses\n" +
	"2026-02-04\tFernbrook Motor Factors\tGrease\t7.50\t\n" +
	"2026-02-05\tHollin Breakers\tSold the seats\t-120\t\n" +
	"soon\tHollin Breakers\tDoor\t80.00\tHang the door\n" +
	"2026-02-06\tHollin Breakers\tDoor glass\t80.00\tHang the door\n" +
	"Total\t\t\t72.50\t\n"

func TestImport(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Renew the brake hoses", rebuild.JobOpen)
	g.entry(rebuild.Entry{Amount: amount.New(750, "GBP"), On: "2026-02-04", What: "Grease", Supplier: "Fernbrook Motor Factors", Kind: rebuild.EntryConsumable})
	g.wants(g.get("/ledger/import"), 200, "Rows copied out of a spreadsheet")
	w := g.post("/ledger/import", fields("paste", pastedBills))
	g.wants(w, 200, "4 rows can be entered, 1 of which seems to be in the ledger or above already; 1 row has something wrong",
		`"soon" is not a date`, "Repeats Grease", `No one job is called "Hang the door"; it is entered without a job.`, "Looks like a totals row.", "for Renew the brake hoses")
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	if got := form["take"]; fmt.Sprint(got) != "[2 4 6]" {
		t.Fatalf("ticked %v", got)
	}
	w = g.post("/ledger/import/save", form)
	g.wants(w, 303)
	g.wants(g.get("/ledger"), 200, "you entered 3 costs")
	entries := g.now().Entries
	if len(entries) != 4 || entries[1].JobID != job || entries[1].Kind != rebuild.EntryPart || entries[2].Amount.Minor != -12000 || entries[1].Supplier != "Fernbrook Motor Factors" {
		t.Fatalf("%+v", entries)
	}
	g.wants(g.post("/undo", fields("back", g.path("/ledger"))), 303)
	if n := len(g.now().Entries); n != 1 {
		t.Errorf("%d entries after one undo", n)
	}
}

func TestImportTicksAndDefaults(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Hang the door", rebuild.JobOpen)
	form := formOf(g.post("/ledger/import", fields("paste", pastedBills)).Body.String(), g.path("/ledger/import/save"))
	form["take"] = []string{"3"}
	form.Set("kind", "consumable")
	form.Set("job", "general")
	w := g.post("/ledger/import/save", form)
	g.wants(w, 422, "Look at them once more", "no job, on purpose")
	form = formOf(w.Body.String(), g.path("/ledger/import/save"))
	form["take"] = []string{"3", "6"}
	g.wants(g.post("/ledger/import/save", form), 303)
	e := g.now().Entries
	if len(e) != 2 || e[0].What != "Grease" || e[0].Kind != rebuild.EntryConsumable || !e[0].General || e[1].JobID != job || e[1].General {
		t.Errorf("%+v", e)
	}
}

func TestImportAsksForTheDayOrder(t *testing.T) {
	g := newLedgerRig(t)
	w := g.post("/ledger/import", fields("paste", "03/02/2026,Hose,25.00\n05/02/2026,Grease,7.50\n"))
	g.wants(w, 200, `Does "03/02/2026" begin with the day or with the month? Shown below: day first.`)
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	if form.Has("day_order") {
		t.Fatal("an answer is ticked already")
	}
	w = g.post("/ledger/import/save", form)
	g.wants(w, 422, "Not saved yet: Does", "Choose one of them")
	form.Set("day_order", "month first")
	w = g.post("/ledger/import/save", form)
	g.wants(w, 422, "Look at them once more", "2 Mar 2026")
	form = formOf(w.Body.String(), g.path("/ledger/import/save"))
	g.wants(g.post("/ledger/import/save", form), 303)
	if e := g.now().Entries; len(e) != 2 || e[0].On != "2026-03-02" || e[1].On != "2026-05-02" {
		t.Errorf("%+v", e)
	}
}

// The answer that agrees with what was shown needs no second look.
func TestImportTakesTheShownOrder(t *testing.T) {
	g := newLedgerRig(t)
	w := g.post("/ledger/import", fields("paste", "03/02/2026,Hose,25.00\n05/02/2026,Grease,7.50\n"))
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	form.Set("day_order", "day first")
	g.wants(g.post("/ledger/import/save", form), 303)
	if e := g.now().Entries; len(e) != 2 || e[0].On != "2026-02-03" {
		t.Errorf("%+v", e)
	}
}

func TestImportColumnsCanBeChanged(t *testing.T) {
	g := newLedgerRig(t)
	w := g.post("/ledger/import", fields("paste", "2026-02-03;Hose;Fernbrook;25,00\n2026-02-04;Grease;Hollin;7,50\n"))
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	if got := []string{form.Get("col.0"), form.Get("col.3")}; fmt.Sprint(got) != "[date amount]" {
		t.Fatalf("guessed %v", got)
	}
	form.Set("col.1", "supplier")
	form.Set("col.2", "what")
	w = g.post("/ledger/import", form)
	form = formOf(w.Body.String(), g.path("/ledger/import/save"))
	g.wants(g.post("/ledger/import/save", form), 303)
	if e := g.now().Entries[0]; e.Supplier != "Hose" || e.What != "Fernbrook" || e.Amount.Minor != 2500 {
		t.Errorf("%+v", e)
	}
	// Cut by another sign, the columns are guessed anew.
	form.Set("separator", ",")
	g.wants(g.post("/ledger/import", form), 200, "What the columns are")
}

func TestImportFile(t *testing.T) {
	g := newLedgerRig(t)
	w := g.send("/ledger/import", url.Values{}, "file", "bills.csv", "text/csv", []byte("Datum;Betrag;Text\r\n03.02.2026;25,00;Schl\xe4uche\r\n"))
	g.wants(w, 200, "Schläuche", "3 Feb 2026", "Windows-1252")
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	g.wants(g.post("/ledger/import/save", form), 303)
	if e := g.now().Entries[0]; e.What != "Schläuche" || e.Amount.Minor != 2500 {
		t.Errorf("%+v", e)
	}
	for name, content := range map[string]string{
		"book.xlsx":  "PK\x03\x04 and so on",
		"bills.pdf":  "%PDF-1.7",
		"strange.db": "a\x00b",
	} {
		g.wants(g.send("/ledger/import", url.Values{}, "file", name, "application/octet-stream", []byte(content)), 422, "Not saved yet", name)
	}
}

func TestImportRefusals(t *testing.T) {
	g := newLedgerRig(t)
	g.wants(g.post("/ledger/import", fields("paste", "  \n")), 422, "there is nothing to read")
	g.wants(g.post("/ledger/import", fields("paste", strings.Repeat("2026-02-03,a,1\n", 5100))), 422, "at most 5000")
	w := g.post("/ledger/import", fields("paste", "2026-02-03,Hose,25.00\n"))
	form := formOf(w.Body.String(), g.path("/ledger/import/save"))
	form.Del("take")
	g.wants(g.post("/ledger/import/save", form), 422, "No row is ticked")
	form.Set("take", "1")
	form.Set("job", "99")
	w = g.post("/ledger/import/save", form)
	form = formOf(w.Body.String(), g.path("/ledger/import/save"))
	if w = g.post("/ledger/import/save", form); w.Code == http.StatusInternalServerError {
		t.Errorf("%d: %s", w.Code, plainText(w.Body.String()))
	}
}

// What the ledger hands out as CSV it takes in again, all of it known already.
func TestImportOwnCSV(t *testing.T) {
	g := newLedgerRig(t)
	job := g.job("Renew the brake hoses", rebuild.JobOpen)
	g.entry(rebuild.Entry{Amount: amount.New(-2500, "GBP"), What: "Core", Supplier: "Hollin", JobID: job, On: "2026-02-10"})
	g.entry(rebuild.Entry{Amount: amount.New(2500, "GBP"), What: "Gloves", Kind: rebuild.EntryTool, General: true, On: "2026-02-09"})
	csv := g.get("/ledger.csv").Body.String()
	w := g.post("/ledger/import", fields("paste", csv))
	g.wants(w, 200, "2 rows can be entered, 2 of which seem to be in the ledger")
	if form := formOf(w.Body.String(), g.path("/ledger/import/save")); form.Has("take") {
		t.Error("repeated rows are ticked")
	}
}
