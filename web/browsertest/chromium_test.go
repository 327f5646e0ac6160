package browsertest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

func TestMain(m *testing.M) {
	code := m.Run()
	stopChromium()
	os.Exit(code)
}

// The one browser of all tests; each test has a profile of its own in it.
var (
	startOnce  sync.Once
	browser    context.Context
	stops      []func()
	startError error
)

var errNoChromium = errors.New("chromium is not installed: scripts/install-test-needs.sh installs it")

// chromium starts the browser, once. Without one the test is skipped, and fails
// where CI=true says that everything must be there.
func chromium(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes its time: skipped with -short")
	}
	startOnce.Do(startChromium)
	if errors.Is(startError, errNoChromium) && os.Getenv("CI") != "true" {
		t.Skipf("SKIPPED, the pages were not looked at in a browser: %v", startError)
	}
	if startError != nil {
		t.Fatal(startError)
	}
	return browser
}

func startChromium() {
	path, err := exec.LookPath("chromium")
	if err != nil {
		startError = errNoChromium
		return
	}
	profile, err := os.MkdirTemp("", "wreckwright-chromium-")
	if err != nil {
		startError = err
		return
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-domain-reliability", true),
		chromedp.Flag("no-pings", true),
		chromedp.Flag("hide-scrollbars", true), // as on a phone: the width is the page's
		chromedp.Flag("lang", "en-GB"),
		// Nothing but the served book can be reached, whatever a page asks for.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"),
	)
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // which refuses to work for root
	}
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stopBrowser := chromedp.NewContext(allocator)
	stops = []func(){stopBrowser, stopAllocator, func() { _ = os.RemoveAll(profile) }}
	if err := chromedp.Do(ctx); err != nil {
		startError = fmt.Errorf("starting %s: %w", path, err)
		return
	}
	browser = ctx
}

func stopChromium() {
	for _, stop := range stops {
		stop()
	}
}
