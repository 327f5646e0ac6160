package browsertest

import (
	"image"
	"image/color"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"wreckwright/rebuild"
)

// The main story, once with scripts and once without: a new rebuild, a finding
// with its photo, a job with two ways, one chosen, a bill with its receipt, the
// forecast that follows, and the way back.
func TestStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); story(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); story(t, false) })
}

func story(t *testing.T, scripts bool) {
	s := serve(t)
	b := newTab(t, s)
	if !scripts {
		b.noScripts()
	}
	beginRebuild(b)
	noteFinding(b, picture(t, "wheel.png"))
	planJob(b)
	first := expectedOf(b)
	chooseWay(b)
	chosen := expectedOf(b)
	if chosen == first {
		t.Errorf("after the dearer way was chosen the forecast still says %q", chosen)
	}
	payBill(b, picture(t, "receipt.png"))
	paid := expectedOf(b)
	if paid == chosen {
		t.Errorf("after a bill above all expectation the forecast still says %q", paid)
	}
	b.press(`.undo-line form[action$="/undo"] button`)
	if back := expectedOf(b); back != chosen {
		t.Errorf("after undo the forecast says %q; before the bill it said %q", back, chosen)
	}
	keptWhole(t, s)
}

func beginRebuild(b *tab) {
	b.t.Helper()
	b.open("/", http.StatusOK)
	b.holds("main", "No car in the yard yet")
	b.press(`main a[href="/new"]`)
	b.write("#name", "The blue one")
	b.write("#maker", "Norvane")
	b.write("#model", "Skua")
	b.write("#ceiling", "38,000")
	b.press(`form[action="/new"] .actions button`)
	b.holds(".top-car", "The blue one")
}

func noteFinding(b *tab, photo string) {
	b.t.Helper()
	b.press(`.tabs a[href$="/findings"]`)
	b.holds("main", "Walk round it once")
	b.press(`main svg a[href*="front-left-corner"]`)
	b.hand("#photos", photo)
	b.write("#what", "Upright cracked at the lower joint")
	b.pick("severity", "danger")
	b.click(`label.check:has(input[name="safety"])`)
	b.press(`form[action$="/findings"] .actions button`)
	b.holds(".did", "Done: you")
	b.holds("main", "Upright cracked at the lower joint")
	b.press(`a.finding[href*="/findings/"]`)
	b.await("the photo", `document.querySelector('.strip img').complete && document.querySelector('.strip img').naturalWidth > 0`)
	b.holds("main", "Front left wheel and suspension", "safety-critical", "danger")
}

func planJob(b *tab) {
	b.t.Helper()
	b.press(`main a[href*="/jobs/new?finding="]`)
	if got := ask[string](b, `document.querySelector('#title').value`); got != "Upright cracked at the lower joint" {
		b.t.Errorf("the new job is called %q; want the finding's words", got)
	}
	b.write("#title", "Front left upright")
	b.pick("routes.1.kind", "repair")
	b.write(`input[name="routes.1.name"]`, "Bush the bore")
	b.write(`input[name="routes.1.cost.low"]`, "240")
	b.write(`input[name="routes.1.cost.likely"]`, "320")
	b.write(`input[name="routes.1.cost.high"]`, "520")
	b.write(`input[name="routes.1.works"]`, "80")
	b.write(`input[name="routes.1.fallback.name"]`, "a new one after all")
	b.write(`input[name="routes.1.fallback.cost.likely"]`, "640")
	b.press(`form[action$="/jobs"] .actions button`)
	b.holds("main h1", "Front left upright")
	b.press(`main a[href$="/routes/new"]`)
	b.pick("kind", "new")
	b.write(`input[name="name"]`, "New upright")
	b.write(`input[name="cost.likely"]`, "980")
	b.press(`form[action$="/routes"] .actions button`)
	b.holds("main .routes", "Bush the bore", "New upright", "Chosen")
}

func chooseWay(b *tab) {
	b.t.Helper()
	b.press(`.tabs a[href$="/jobs"]`)
	b.press(`main a.job-title`)
	b.press(`.routes form[action$="/choose"] button`)
	b.holds(".did", "New upright")
	b.holds(".route-chosen", "New upright")
}

func payBill(b *tab, receipt string) {
	b.t.Helper()
	b.press(`.tabs a[href$="/ledger"]`)
	b.write("#amount", "1,450.50")
	b.write("#what", "Upright with hub")
	b.write("#supplier", "An invented breaker")
	b.choose("#job", ask[string](b, `[...document.querySelectorAll('#job option')].find(o => o.textContent.includes('Front left upright')).value`))
	b.hand("#photos", receipt)
	b.press(`#enter .actions button`)
	b.holds(".did", "Done: you")
	b.holds("#found", "Upright with hub", "£1,450.50", "1 receipt")
}

// expectedOf is what the money page expects the whole to come to.
func expectedOf(b *tab) string {
	b.t.Helper()
	b.press(`.tabs a[href$="/money"]`)
	return b.text(".money-figures")
}

// keptWhole looks into the book itself.
func keptWhole(t *testing.T, s *served) {
	t.Helper()
	r, err := s.book.Load(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Findings) != 1 || len(r.Findings[0].Photos) != 1 || r.Findings[0].Severity != rebuild.Danger || !r.Findings[0].Safety {
		t.Errorf("the findings are %+v", r.Findings)
	}
	if len(r.Jobs) != 1 || len(r.Jobs[0].Routes) != 2 || r.Jobs[0].ChosenRoute() == nil || r.Jobs[0].ChosenRoute().Name != "New upright" || r.Jobs[0].Safety != rebuild.SafetySuspension {
		t.Errorf("the jobs are %+v", r.Jobs)
	}
	if len(r.Entries) != 0 {
		t.Errorf("after undo the ledger holds %+v", r.Entries)
	}
	if problems, err := s.book.Verify(t.Context()); err != nil || len(problems) > 0 {
		t.Errorf("the book: %v, %v", problems, err)
	}
}

// picture makes a small image file to hand in.
func picture(t *testing.T, name string) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.Pix[i] = byte(i * 7)
	}
	img.Set(0, 0, color.Black)
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
	return path
}
