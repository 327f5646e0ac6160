package workshop

import (
	"fmt"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// FigureKind says how a figure is to be shown.
type FigureKind string

// The kinds of figures.
const (
	Money  FigureKind = "money"  // Unit is the ISO 4217 code
	Chance FigureKind = "chance" // 0 to 1
	Hours  FigureKind = "hours"
	Number FigureKind = "number" // a whole number of things
	Day    FigureKind = "day"    // an ISO date in Text
	Name   FigureKind = "name"   // what a person called it, in Text
)

// Figure is a number with its name, left for the page to show in its locale.
type Figure struct {
	Label string
	Kind  FigureKind
	Value float64
	Unit  string
	Text  string
}

// Plain shows a figure without a locale: "GBP 36,400", "71 %", "2026-03-21".
func (f Figure) Plain() string {
	p := message.NewPrinter(language.English)
	whole := p.Sprint(number.Decimal(f.Value, number.MaxFractionDigits(0)))
	switch f.Kind {
	case Money:
		return f.Unit + " " + whole
	case Chance:
		return Percent(f.Value)
	case Hours:
		return whole + " h"
	case Day, Name:
		return f.Text
	}
	return whole
}

// Percent shows a chance or a share in whole hundredths and never rounds it to
// certainty: "62 %", "<1 %", ">99 %".
func Percent(p float64) string {
	switch {
	case p > 0 && p <= 0.005:
		return "<1 %"
	case p < 1 && p >= 0.995:
		return ">99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// Phrase is a sentence with figures in it: each "%s" of the pattern stands for
// one.
type Phrase struct {
	Pattern string
	Figures []Figure
}

// Say writes the sentence with the figures as show gives them.
func (p Phrase) Say(show func(Figure) string) string {
	parts := strings.Split(p.Pattern, "%s")
	var b strings.Builder
	b.WriteString(parts[0])
	for i, part := range parts[1:] {
		if i < len(p.Figures) {
			b.WriteString(show(p.Figures[i]))
		}
		b.WriteString(part)
	}
	return b.String()
}

// String writes the sentence without a locale.
func (p Phrase) String() string { return p.Say(Figure.Plain) }

func phrase(pattern string, figures ...Figure) Phrase { return Phrase{pattern, figures} }

// words is a phrase without figures; a "%s" typed by a person stays as it is.
func words(text string) Phrase { return Phrase{Pattern: strings.ReplaceAll(text, "%s", "%\u200bs")} }

func money(label string, value float64, currency string) Figure {
	return Figure{Label: label, Kind: Money, Value: value, Unit: currency}
}

func chance(label string, p float64) Figure { return Figure{Label: label, Kind: Chance, Value: p} }

func howMany(label string, n int) Figure {
	return Figure{Label: label, Kind: Number, Value: float64(n)}
}

func day(label, on string) Figure { return Figure{Label: label, Kind: Day, Text: on} }

func inHours(label string, h float64) Figure { return Figure{Label: label, Kind: Hours, Value: h} }
