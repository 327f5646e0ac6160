package browsertest

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"testing"
)

// axeFile is what npm installs for the tests; it is no part of the program.
const axeFile = "node_modules/axe-core/axe.min.js"

var axeSource = sync.OnceValues(func() (string, error) {
	source, err := os.ReadFile(axeFile)
	return string(source), err
})

// needAxe gives the rules' source; without it the test is skipped, and fails where
// CI=true says that everything must be there.
func needAxe(t *testing.T) string {
	t.Helper()
	source, err := axeSource()
	if errors.Is(err, fs.ErrNotExist) && os.Getenv("CI") != "true" {
		t.Skipf("SKIPPED, the pages were not held against accessibility rules: %s is missing; scripts/install-test-needs.sh installs it", axeFile)
	}
	if err != nil {
		t.Fatal(err)
	}
	return source
}

// violation is one rule broken on a page.
type violation struct {
	Rule, Help string
	Where      []string
}

func (v violation) String() string {
	return fmt.Sprintf("%s (%s):\n    %s", v.Rule, v.Help, strings.Join(v.Where, "\n    "))
}

// axeRun runs the rules of WCAG 2.0 to 2.2, A and AA, and axe's best practices,
// or with colours only those that a theme can break. The rule on the size of
// targets is off by itself and is switched on.
const axeRun = `(async () => {
	const only = %t
		? {type: 'rule', values: ['color-contrast', 'link-in-text-block']}
		: {type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}
	const rules = only.type === 'tag' ? {'target-size': {enabled: true}} : {}
	const found = await axe.run(document, {runOnly: only, rules, resultTypes: ['violations']})
	return found.violations.map(v => ({Rule: v.id, Help: v.help,
		Where: v.nodes.map(n => n.target.join(' ') + ': ' + n.failureSummary.replace(/\s+/g, ' ')).slice(0, 6)}))
})()`

// axe holds the page that is open against the rules.
func (b *tab) axe(source string, colours bool) []violation {
	b.t.Helper()
	if !ask[bool](b, "typeof axe === 'object'") {
		ask[bool](b, source+";true")
	}
	return ask[[]violation](b, fmt.Sprintf(axeRun, colours))
}

// overflow lists what reaches beyond the right edge of the page.
const overflow = `(() => {
	const wide = document.documentElement.clientWidth, found = []
	if (document.documentElement.scrollWidth <= wide && document.body.scrollWidth <= wide) return found
	found.push('the page is ' + document.documentElement.scrollWidth + ' wide in a window of ' + wide)
	for (const e of document.querySelectorAll('body *')) {
		const box = e.getBoundingClientRect()
		if (box.right > wide + 1 && box.width > 0 && !e.closest('.scroll, .vh, svg')) found.push(e.localName + '.' + e.className + ' to ' + Math.round(box.right))
	}
	return found.slice(0, 6)
})()`

// smallTargets lists what is to be tapped and is smaller than 24 by 24 pixels.
// Links within a sentence are excepted, as the guideline has it.
const smallTargets = `(() => {
	const found = []
	const tapped = 'button, input:not([type=hidden]), select, textarea, summary, a.button, nav a, .tabs a, label.check, label.pick, svg a'
	for (const e of document.querySelectorAll(tapped)) {
		const target = e.closest('label') ?? e
		if (!target.checkVisibility({visibilityProperty: true})) continue
		const box = target.getBoundingClientRect()
		if (box.width < 1 || e.closest('.vh, .skip')) continue
		if (box.width < 23.9 || box.height < 23.9) found.push(e.localName + ' "' + (e.name || e.textContent.trim().slice(0, 40)) + '" ' + box.width.toFixed(1) + ' by ' + box.height.toFixed(1))
	}
	return found.slice(0, 8)
})()`
