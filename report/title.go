package report

import (
	"strings"

	"wreckwright/prove/buildfile"
)

var (
	kicker  = face{plainFamily, "B", 10, 5, accent}
	carName = face{plainFamily, "B", 30, 12.5, ink}
	under   = face{plainFamily, "", 12.5, 6.2, muted}
	stated  = face{plainFamily, "B", 11.5, 5.8, ink}
	figure  = face{plainFamily, "B", 19, 8.2, ink}
)

// titlePage says what the document is, of which car, under which mark, how it
// stands, and by whose key it is signed.
func (s *sheet) titlePage(d *buildfile.Document) {
	s.page()
	s.pdf.Bookmark("Title page", 0, 0)
	s.fill(0, 0, 7, pageHeight, accent)
	s.y = 40
	s.put(kicker, marginLeft, s.y, strings.ToUpper("Build file · "+string(d.Edition)+" edition"))
	s.y += 9
	for _, line := range s.lines(carName, d.Title, textWidth) {
		s.put(carName, marginLeft, s.y, line)
		s.y += carName.leading
	}
	s.flow(under, marginLeft, textWidth, d.Subtitle)
	s.y += 7
	s.stated(d.Category)
	s.y += 8
	s.glance(d.Glance)
	s.y += 2
	s.list(d.Notice)
	s.signed(d)
}

// stated sets the category in a box that cannot be passed over.
func (s *sheet) stated(category string) {
	lines := s.lines(stated, category, textWidth-12)
	height := float64(len(lines))*stated.leading + 8
	s.pdf.SetDrawColor(ink[0], ink[1], ink[2])
	s.pdf.SetLineWidth(0.5)
	s.pdf.Rect(marginLeft, s.y, textWidth, height, "D")
	for i, line := range lines {
		s.put(stated, marginLeft+6, s.y+4+float64(i)*stated.leading, line)
	}
	s.y += height
}

// glance sets figures in rows of three.
func (s *sheet) glance(facts []buildfile.Fact) {
	const columns = 3
	width := textWidth / columns
	for at := 0; at < len(facts); at += columns {
		tallest := 0
		for i, f := range facts[at:min(at+columns, len(facts))] {
			x := marginLeft + float64(i)*width
			s.put(figure, x, s.y, printable(f.Value))
			lines := s.lines(note, f.Name, width-6)
			for n, line := range lines {
				s.put(note, x, s.y+figure.leading+0.6+float64(n)*note.leading, line)
			}
			tallest = max(tallest, len(lines))
		}
		s.y += figure.leading + float64(tallest)*note.leading + 5
	}
}

func (s *sheet) signed(d *buildfile.Document) {
	y := pageHeight - 40.0
	s.line(marginLeft, y, pageWidth-marginRight, y, 0.15, rule)
	s.put(note, marginLeft, y+2.5, printable("Made on "+d.MadeOn+" with "+d.Program))
	s.put(note, marginLeft, y+7.2, "Signed with the key of the book; its fingerprint:")
	s.put(mono, marginLeft, y+11.6, d.Fingerprint)
}
