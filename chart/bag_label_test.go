package chart

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The path covers the black modules and nothing else.
func TestQRPathIsTheModules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.IntRange(1, 30).Draw(t, "side")
		modules := make([][]bool, side)
		for y := range modules {
			modules[y] = rapid.SliceOfN(rapid.Bool(), side, side).Draw(t, "row")
		}
		painted := paint(t, qrPath(modules), side)
		for y := range modules {
			for x := range modules[y] {
				if painted[y][x] != modules[y][x] {
					t.Fatalf("module %d, %d is %t", x, y, painted[y][x])
				}
			}
		}
	})
}

var run = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`)

// paint fills what the path says, the quiet zone taken off.
func paint(t *rapid.T, path string, side int) [][]bool {
	painted := make([][]bool, side)
	for y := range painted {
		painted[y] = make([]bool, side)
	}
	rest := run.ReplaceAllStringFunc(path, func(part string) string {
		n := run.FindStringSubmatch(part)
		x, _ := strconv.Atoi(n[1])
		y, _ := strconv.Atoi(n[2])
		w, _ := strconv.Atoi(n[3])
		if n[3] != n[4] {
			t.Fatalf("%s does not close", part)
		}
		for i := range w {
			painted[y-quietZone][x-quietZone+i] = true
		}
		return ""
	})
	if rest != "" {
		t.Fatalf("the path holds %q", rest)
	}
	return painted
}

// ISO/IEC 18004 asks for a quiet zone four modules wide on all sides.
func TestQRHasItsQuietZone(t *testing.T) {
	drawn := string(QRCode([][]bool{{true}}, "bag B1"))
	for _, want := range []string{`viewBox="0 0 9 9"`, `d="M4 4h1v1h-1z"`, `aria-label="bag B1"`, `fill="#fff"`} {
		if !strings.Contains(drawn, want) {
			t.Errorf("%s is not in %s", want, drawn)
		}
	}
}

func TestLabelsBearAnyText(t *testing.T) {
	long := strings.Repeat("Wheel arch liner ", 20)
	for _, l := range []BagLabel{
		{},
		{Code: "B1", What: "Wheel", Lines: []string{"5 × M14x1.5 · 19 mm socket"}, Foot: "Skua", Modules: [][]bool{{true}}},
		{Code: strings.Repeat("B", 12), What: long, Lines: []string{long, long, long, long}, Foot: long, Renew: true},
		{Code: "<b>&\"'", What: strings.Repeat("W", 200), Lines: []string{"\x01\ufffe"}, Foot: "</svg>"},
	} {
		for _, drawn := range []string{string(l.Drawn()), BagLabelSheet([]BagLabel{l}, 3)} {
			readable(t, drawn)
			for _, y := range regexp.MustCompile(`<text[^>]* y="([0-9.]+)"`).FindAllStringSubmatch(drawn, -1) {
				if at, err := strconv.ParseFloat(y[1], 64); err != nil || at > labelHeight {
					t.Errorf("a line of %.20q stands at %s, beneath the label", l.What, y[1])
				}
			}
		}
	}
}

func readable(t *testing.T, drawn string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(drawn))
	for {
		_, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%v in %s", err, drawn)
		}
	}
}

// Three by eight labels of 70 by 37 mm fill an A4 sheet (ISO 216: 210 by 297 mm).
func TestSheetHoldsThreeByEight(t *testing.T) {
	labels := make([]BagLabel, 30)
	for i := range labels {
		labels[i].Code = fmt.Sprintf("B%d", i+1)
	}
	sheet := BagLabelSheet(labels, 0)
	readable(t, sheet)
	places := regexp.MustCompile(`<g transform="translate\(([0-9.]+) ([0-9.]+)\)">`).FindAllStringSubmatch(sheet, -1)
	if len(places) != 24 {
		t.Fatalf("%d labels are on the sheet", len(places))
	}
	if last := places[23]; last[1] != "140" || last[2] != "259.5" {
		t.Errorf("the last one is at %s, %s; want 140, 259.5", last[1], last[2])
	}
	if begun := BagLabelSheet(labels, 22); strings.Count(begun, "<g ") != 2 || !strings.Contains(begun, "translate(70 259.5)") {
		t.Errorf("a begun sheet holds %d labels", strings.Count(begun, "<g "))
	}
}
