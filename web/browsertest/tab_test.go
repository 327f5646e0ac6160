package browsertest

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// The two widths at which the pages are looked at: a phone, a laptop.
const (
	phone  = 360
	laptop = 1440
)

// tab is a tab of the browser in a profile of its own, watched while it is driven.
type tab struct {
	t     *testing.T
	ctx   context.Context
	home  string // "http://127.0.0.1:40123"
	watch *watch
}

// patience is how long one step may take before the test gives up.
const patience = 20 * time.Second

// newTab opens a tab on the served book, as wide as a phone.
func newTab(t *testing.T, s *served) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(chromium(t), chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	return prepare(t, s, ctx)
}

// another opens a second tab in the same profile.
func (b *tab) another(s *served) *tab {
	b.t.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.t.Cleanup(cancel)
	return prepare(b.t, s, ctx)
}

func prepare(t *testing.T, s *served, ctx context.Context) *tab {
	t.Helper()
	b := &tab{t: t, ctx: ctx, home: "http://" + s.address, watch: &watch{host: s.address}}
	if err := chromedp.Listen(ctx, b.watch.see); err != nil {
		t.Fatal(err)
	}
	b.call(func(ctx context.Context) error { _, err := chromedp.Call(ctx, log.Enable, cdp.Empty{}); return err })
	b.call(func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
		return err
	})
	b.width(phone)
	t.Cleanup(func() {
		for _, fault := range b.watch.take() {
			t.Errorf("in the browser: %s", fault)
		}
	})
	return b
}

func (b *tab) call(f func(context.Context) error) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := f(ctx); err != nil {
		b.t.Fatal(err)
	}
}

// do runs steps; what names them in the message of a failure.
func (b *tab) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	b.call(func(ctx context.Context) error {
		if err := chromedp.Do(ctx, steps...); err != nil {
			return fmt.Errorf("%s on %s: %w", what, b.where(), err)
		}
		return nil
	})
}

// where is the page's path, for messages.
func (b *tab) where() string {
	ctx, cancel := context.WithTimeout(b.ctx, time.Second)
	defer cancel()
	at, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		return "a page that does not answer"
	}
	return strings.TrimPrefix(at, b.home)
}

func (b *tab) width(w int64) {
	b.t.Helper()
	b.do("setting the width", chromedp.EmulateViewport(w, 800))
}

// whole makes the window as high as the page, so that what is fixed to an edge of
// the window covers nothing that a person would scroll free.
func (b *tab) whole(w int64) {
	b.t.Helper()
	b.width(w)
	b.do("setting the height", chromedp.EmulateViewport(w, ask[int64](b, "Math.max(800, document.documentElement.scrollHeight)")))
}

// theme sets what the person prefers: "light" or "dark".
func (b *tab) theme(name string) {
	b.t.Helper()
	b.call(func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: name}, {Name: "prefers-reduced-motion", Value: "reduce"},
		}})
		return err
	})
}

// noScripts switches the pages' scripts off.
func (b *tab) noScripts() {
	b.t.Helper()
	b.call(func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	})
}

// open goes to a page and wants the status.
func (b *tab) open(path string, status int64) {
	b.t.Helper()
	b.call(func(ctx context.Context) error {
		response, err := chromedp.Run(ctx, chromedp.NavigateResponse(b.home+path))
		if err != nil {
			return fmt.Errorf("opening %s: %w", path, err)
		}
		if response.Status != status {
			return fmt.Errorf("%s answers %d; want %d", path, response.Status, status)
		}
		return nil
	})
}

// press clicks what leads to another page and waits for it.
func (b *tab) press(selector string) {
	b.t.Helper()
	b.reveal(selector)
	b.call(func(ctx context.Context) error {
		if _, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible)); err != nil {
			return fmt.Errorf("pressing %s on %s: %w", selector, b.where(), err)
		}
		return nil
	})
}

// click clicks what stays on the page.
func (b *tab) click(selector string) {
	b.t.Helper()
	b.reveal(selector)
	b.do("clicking "+selector, chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// write types into a field, after what it held is taken out.
func (b *tab) write(selector, text string) {
	b.t.Helper()
	b.reveal(selector)
	b.do("entering "+selector, chromedp.Focus(chromedp.CSS(selector)))
	ask[bool](b, "document.activeElement.select() === undefined") // what is typed takes its place
	b.do("writing into "+selector, chromedp.SendKeys(chromedp.CSS(selector), text))
}

// pick taps one of several big buttons.
func (b *tab) pick(name, value string) {
	b.t.Helper()
	b.click(fmt.Sprintf(`label.pick:has(input[name=%q][value=%q])`, name, value))
}

// choose sets a list to a value.
func (b *tab) choose(selector, value string) {
	b.t.Helper()
	b.reveal(selector)
	b.do("choosing in "+selector, chromedp.SetValue(chromedp.CSS(selector), value))
}

// hand gives a file to a field.
func (b *tab) hand(selector, file string) {
	b.t.Helper()
	b.reveal(selector)
	b.do("handing a file to "+selector, chromedp.SetUploadFiles(chromedp.CSS(selector), []string{file}))
}

// reveal opens the folded parts that hold an element, outermost first, as a
// person would.
func (b *tab) reveal(selector string) {
	b.t.Helper()
	const folded = `(() => {
		let at = -1
		for (let e = document.querySelector(%q)?.parentElement; e; e = e.parentElement)
			if (e.localName === 'details' && !e.open) at = [...document.querySelectorAll('details')].indexOf(e)
		return at
	})()`
	for {
		at := ask[int](b, fmt.Sprintf(folded, selector))
		if at < 0 {
			return
		}
		b.do("unfolding", chromedp.Click(chromedp.JSPath(fmt.Sprintf("document.querySelectorAll('details')[%d].querySelector('summary')", at))))
	}
}

// ask evaluates an expression in the page.
func ask[T any](b *tab, expression string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	for err != nil && ctx.Err() == nil && strings.Contains(err.Error(), "navigated or closed") { // it went on to another page meanwhile
		value, err = chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	}
	if err != nil {
		b.t.Fatalf("asking %s on %s: %v", brief(expression), b.where(), err)
	}
	return value
}

func brief(expression string) string {
	if len(expression) > 120 {
		return expression[:120] + "…"
	}
	return expression
}

// text is the words of an element, as shown.
func (b *tab) text(selector string) string {
	b.t.Helper()
	return strings.Join(strings.Fields(ask[string](b, fmt.Sprintf("document.querySelector(%q)?.innerText ?? ''", selector))), " ")
}

// holds fails unless the element says all of the words.
func (b *tab) holds(selector string, words ...string) {
	b.t.Helper()
	text := b.text(selector)
	for _, w := range words {
		if !strings.Contains(text, w) {
			b.t.Errorf("%s on %s says %q; want %q in it", selector, b.where(), text, w)
		}
	}
}

// await waits until an expression is true.
func (b *tab) await(what, expression string) {
	b.t.Helper()
	deadline := time.Now().Add(patience)
	for !ask[bool](b, expression) {
		if time.Now().After(deadline) {
			b.t.Fatalf("waited in vain for %s on %s", what, b.where())
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// key presses one key.
func (b *tab) key(keys string) {
	b.t.Helper()
	b.do("pressing a key", chromedp.KeyEvent(keys))
}
