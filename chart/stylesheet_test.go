package chart

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestStylesheetHasNoColourOfItsOwn(t *testing.T) {
	css := Stylesheet()
	if m := regexp.MustCompile(`(?i)#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(`).FindString(css); m != "" {
		t.Errorf("a colour stands in chart.css: %s", m)
	}
	known := map[string]bool{"ink": true, "paper": true, "muted": true, "accent": true, "warn": true, "good": true}
	for _, m := range regexp.MustCompile(`var\(--([a-z-]+)(?:, *([a-zA-Z]+))?\)`).FindAllStringSubmatch(css, -1) {
		if !known[m[1]] || (m[2] != "" && m[2] != "currentColor") {
			t.Errorf("unknown property or fallback: %s", m[0])
		}
	}
	for _, m := range regexp.MustCompile(`(?:fill|stroke|color): ([^;]+);`).FindAllStringSubmatch(css, -1) {
		if m[1] != "none" && m[1] != "stroke" && !strings.Contains(m[1], "var(--") {
			t.Errorf("a colour that no property gives: %s", m[0])
		}
	}
}

// The layout reckons with the sizes that the style sheet sets.
func TestStylesheetAgreesOnSizes(t *testing.T) {
	for class, size := range map[string]float64{"fig-text": textSize, "fig-small": smallSize} {
		rule := regexp.MustCompile(`\.` + class + ` \{[^}]*font-size: ([0-9.]+px)`).FindStringSubmatch(Stylesheet())
		if rule == nil || rule[1] != fmt.Sprintf("%gpx", size) {
			t.Errorf("%s: the style sheet says %v, the layout %g", class, rule, size)
		}
	}
}

// The smallest text keeps 11 px in a column of 302 px, and where the layout for laptops takes over.
func TestTextStaysLegible(t *testing.T) {
	m := regexp.MustCompile(`@container \(min-width: ([0-9]+)px\)`).FindStringSubmatch(Stylesheet())
	if m == nil {
		t.Fatal("the style sheet does not say where the layout changes")
	}
	change, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	for _, px := range []float64{smallSize * 302 / Phone.WidthPx, smallSize * 302 / planWidth, smallSize * change / Desk.WidthPx} {
		if px < 11 {
			t.Errorf("text of %.1f px", px)
		}
	}
}

func TestEveryClassIsStyled(t *testing.T) {
	css := Stylesheet()
	plain := map[string]bool{ // states that look like their base, named for the page's own use
		"fig-zone-clear": true, "fig-badge": true, "fig-station-ahead": true, "fig-stage-ahead": true, "fig-stage-done": true,
	}
	for name, f := range samples() {
		for _, m := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(string(f.HTML()), -1) {
			for _, class := range strings.Fields(m[1]) {
				if !plain[class] && !regexp.MustCompile(`\.`+class+`\b`).MatchString(css) {
					t.Errorf("%s: class %s has no rule", name, class)
				}
			}
		}
	}
}
