package demo

import (
	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// receiptOf draws the sheet of a cost: supplier, day, what it lists, the tax in
// it and the sum, all as in the entry.
func receiptOf(page entryPage, e rebuild.Entry) []byte {
	s := newSketch(page.name() + e.On)
	style := amount.NewStyle("en-GB")
	title, stamp := "Receipt", "PAID"
	if e.Amount.Minor < 0 {
		title, stamp = "Credit note", "REFUNDED"
	}
	s.shape("#fffdf6", 30, 24, 390, 20, 394, 470, 392, 566, 28, 570)
	s.words(210, 66, 21, page.From)
	s.words(210, 90, 13, "invented supplier of the example")
	s.line(52, 108, 368, 106)
	s.say("start", ink, 52, 134, 15, title)
	s.say("end", ink, 368, 134, 15, e.On)
	y := 176.0
	for _, line := range receiptLines(page, style, e.Amount) {
		s.say("start", ink, 52, y, 15, line[0])
		s.say("end", ink, 368, y, 15, line[1])
		y += 28
	}
	s.line(52, 440, 368, 442)
	if !e.Tax.IsZero() {
		s.say("start", ink, 52, 466, 14, "of which VAT at 20 %")
		s.say("end", ink, 368, 466, 14, style.Show(e.Tax))
	}
	s.say("start", ink, 52, 506, 22, "Total")
	s.say("end", ink, 368, 506, 22, style.Show(e.Amount))
	s.path(s.trail(true, []float64{236, 524, 330, 516, 334, 546, 240, 552}), none, hurt, 2.5)
	s.say("middle", hurt, 285, 540, 15, stamp)
	return s.svg("Receipt of "+page.From, 420, 594)
}

// receiptLines are the listed items, or the one that the entry is about.
func receiptLines(page entryPage, style amount.Style, sum amount.Amount) [][2]string {
	if len(page.Lines) == 0 {
		words := []rune(page.What)
		if len(words) > 34 {
			words = append(words[:33], '…')
		}
		return [][2]string{{string(words), style.Show(sum)}}
	}
	lines := make([][2]string, len(page.Lines))
	for i, line := range page.Lines {
		part, err := amount.Parse(line[1], sum.Currency, '.')
		if err != nil {
			part = amount.New(0, sum.Currency) // refused when the page was read
		}
		lines[i] = [2]string{line[0], style.Show(part)}
	}
	return lines
}
