package browsertest

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const (
	tabKey     = kb.Tab
	enter      = kb.Enter
	arrowRight = kb.ArrowRight
)

func quote(s string) string { return strconv.Quote(s) }

func focus(selector string) chromedp.Action[chromedp.Void] {
	return chromedp.Focus(chromedp.CSS(selector))
}

// focused describes what has the focus.
func focused(b *tab) string {
	b.t.Helper()
	return ask[string](b, `(() => { const e = document.activeElement
		return e.localName + (e.id ? '#' + e.id : '') + ' ' + (e.getAttribute('href') ?? e.name ?? '') + ' ' + (e.getAttribute('aria-label') ?? e.textContent ?? '').trim().slice(0, 60) })()`)
}

// tabTo presses Tab until something with the words has the focus, and fails when
// the focus cannot be seen or is hidden behind something on the way.
func tabTo(b *tab, words string) {
	b.t.Helper()
	var way []string
	for range 120 {
		b.key(tabKey)
		now := focused(b)
		way = append(way, now)
		if fault := hiddenFocus(b); fault != "" {
			b.t.Errorf("on %s the focus is %s at %s", b.where(), fault, now)
		}
		if strings.Contains(now, words) {
			return
		}
	}
	b.t.Fatalf("on %s Tab never comes to %q; it came by:\n%s", b.where(), words, strings.Join(way, "\n"))
}

// hiddenFocus says how the focus escapes the eye: covered, or without a mark.
func hiddenFocus(b *tab) string {
	b.t.Helper()
	return ask[string](b, `(() => {
		const e = document.activeElement, box = e.getBoundingClientRect()
		if (e === document.body || e.id === 'main') return ''
		const x = Math.min(Math.max(box.left + box.width / 2, 1), innerWidth - 1), y = box.top + Math.min(box.height, 40) / 2
		if (y < 0 || y > innerHeight) return 'outside the window'
		const shown = e.matches('.pick input, .vh') ? e.closest('label') : e
		const marked = s => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2
		const near = [shown, ...shown.querySelectorAll('*')]
		const thick = n => parseFloat(getComputedStyle(n).strokeWidth)
		const drawn = n => [...n.querySelectorAll('.fig-zone-shape')].map(thick)
		const others = [...document.querySelectorAll('.fig-zone')].filter(n => n !== e).flatMap(drawn)
		const thicker = drawn(shown).some(w => w > Math.max(...others)) // a zone of the drawing
		const inner = e.type === 'date' && !e.matches(':focus-visible') // the browser marks the calendar button in it
		if (!thicker && !inner && !near.some(n => marked(getComputedStyle(n)))) return 'not marked'
		const top = document.elementFromPoint(x, y)
		if (top && !shown.contains(top) && !top.contains(shown) && top.closest('.tabs, .top') && !shown.closest('.tabs, .top')) return 'covered'
		return '' })()`)
}

// All that matters is reached and worked without a pointer.
func TestKeyboardAlone(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)

	b.open(car.path("/now"), http.StatusOK)
	b.key(tabKey)
	if now := focused(b); !strings.Contains(now, "Skip to the page") {
		t.Errorf("the first Tab goes to %s; want the skip link", now)
	}
	if y := ask[float64](b, "document.activeElement.getBoundingClientRect().top"); y < 0 {
		t.Error("the skip link stays out of sight when it has the focus")
	}
	b.key(enter)
	if id := ask[string](b, "document.activeElement.id"); id != "main" {
		t.Errorf("the skip link leads to %q", id)
	}

	b.open(car.path("/now"), http.StatusOK)
	tabTo(b, "/findings")
	follow(b)
	b.holds("h1", "Findings")
	if got := ask[string](b, "document.querySelector('.tabs [aria-current=page]').textContent"); got != "Findings" {
		t.Errorf("the tab that is marked as current is %q", got)
	}
	zones := ask[int](b, "document.querySelectorAll('main svg a[href*=\"zone\"]').length")
	if zones < 10 {
		t.Errorf("%d zones of the drawing are links; want all", zones)
	}
	tabTo(b, "front-left-corner")
	follow(b)
	b.holds("main", "Front left wheel and suspension")
	tabTo(b, "what")
	b.do("typing", chromedp.KeyEvent("Bush torn"))
	tabTo(b, "severity")
	b.key(arrowRight)
	tabTo(b, "Save the finding")
	follow(b)
	b.holds("main", "Bush torn")

	b.open(car.path(fmt.Sprintf("/jobs/%d", car.upright)), http.StatusOK)
	tabTo(b, "Choose: New upright")
	follow(b)
	b.holds(".route-chosen", "New upright")
}

// follow presses Enter on what has the focus and waits for the page.
func follow(b *tab) {
	b.t.Helper()
	b.call(func(ctx context.Context) error {
		_, err := chromedp.RunResponse(ctx, chromedp.KeyEvent(enter))
		return err
	})
}
