package report

import (
	"fmt"
	"strings"

	"wreckwright/prove/buildfile"
)

// block sets one piece of a section.
func (s *sheet) block(b buildfile.Block) {
	switch {
	case b.Heading != "":
		s.heading(b.Heading)
	case b.Text != "":
		s.flow(body, marginLeft, textWidth, b.Text)
		s.y += 2.2
	case b.Facts != nil:
		s.facts(b.Facts)
	case b.Table != nil:
		s.table(b.Table)
	case b.List != nil:
		s.list(b.List)
	case b.Caution != nil:
		s.caution(b.Caution.Title, b.Caution.Text)
	case b.Verdict != nil:
		s.verdict(*b.Verdict)
	case b.Photos != nil:
		s.photos(b.Photos)
	case b.Code != nil:
		s.code(b.Code)
	case b.Body != nil:
		s.bodyPlot(*b.Body)
	case b.Wheels != nil:
		s.wheelPlot(*b.Wheels)
	}
}

func (s *sheet) heading(text string) {
	s.y += 2.5
	lines := s.lines(heading, text, textWidth)
	s.room(float64(len(lines))*heading.leading + 16) // never alone at the foot
	for _, line := range lines {
		s.put(heading, marginLeft, s.y, line)
		s.y += heading.leading
	}
	s.y += 1
}

// factName is the width of the names of facts.
const factName = 46.0

func (s *sheet) facts(facts []buildfile.Fact) {
	for _, f := range facts {
		names := s.lines(note, f.Name, factName-4)
		values := s.lines(body, f.Value, textWidth-factName)
		height := max(float64(len(names))*note.leading, float64(len(values))*body.leading)
		s.room(min(height, 40) + 1.6)
		top := s.y
		for i, line := range names {
			s.put(note, marginLeft, top+0.5+float64(i)*note.leading, line)
		}
		for _, line := range values {
			s.room(body.leading)
			s.put(body, marginLeft+factName, s.y, line)
			s.y += body.leading
		}
		if s.y >= top {
			s.y = max(s.y, top+float64(len(names))*note.leading)
		}
		s.line(marginLeft, s.y+0.5, pageWidth-marginRight, s.y+0.5, 0.1, rule)
		s.y += 1.6
	}
	s.y += 1.8
}

func (s *sheet) list(items []string) {
	const indent = 4.5
	for _, item := range items {
		lines := s.lines(body, item, textWidth-indent)
		s.room(min(float64(len(lines)), 2) * body.leading)
		s.put(body, marginLeft, s.y, "•")
		for _, line := range lines {
			s.room(body.leading)
			s.put(body, marginLeft+indent, s.y, line)
			s.y += body.leading
		}
		s.y += 0.7
	}
	s.y += 1.8
}

// caution sets what can hurt beside a bar; one taller than a page is not boxed.
func (s *sheet) caution(title, text string) {
	const inset = 5.0
	titles := s.lines(bodyBold, title, textWidth-inset-3)
	lines := s.lines(body, text, textWidth-inset-3)
	height := float64(len(titles))*bodyBold.leading + float64(len(lines))*body.leading + 4
	if height > pageHeight-marginTop-marginBottom {
		s.flow(bodyBold, marginLeft, textWidth, title)
		s.flow(body, marginLeft, textWidth, text)
		return
	}
	s.room(height + 2)
	s.fill(marginLeft, s.y, textWidth, height, tint)
	s.fill(marginLeft, s.y, 1.4, height, open)
	y := s.y + 2
	for _, line := range titles {
		s.put(bodyBold, marginLeft+inset, y, line)
		y += bodyBold.leading
	}
	for _, line := range lines {
		s.put(body, marginLeft+inset, y, line)
		y += body.leading
	}
	s.y += height + 3
}

// verdict sets a word apart, then of what it is, then why.
func (s *sheet) verdict(v buildfile.Verdict) {
	s.room(18)
	s.y += 0.8
	word := smallBold
	word.colour = colour{255, 255, 255}
	s.use(word)
	width := s.pdf.GetStringWidth(printable(v.Word)) + 4
	back := open
	if v.Good() {
		back = good
	} else if v.Bad() {
		back = bad
	}
	s.pdf.SetFillColor(back[0], back[1], back[2])
	s.pdf.RoundedRect(marginLeft, s.y, width, 4.8, 1, "1234", "F")
	s.put(word, marginLeft+2, s.y+0.5, printable(v.Word))
	for i, line := range s.lines(bodyBold, v.Of, textWidth-width-3) {
		if i > 0 {
			s.y += bodyBold.leading
			s.room(bodyBold.leading)
		}
		s.put(bodyBold, marginLeft+width+3, s.y+0.1, line)
	}
	s.y += 6
	if v.Text != "" {
		s.flow(body, marginLeft, textWidth, v.Text)
	}
	s.y += 1.6
}

func (s *sheet) code(lines []string) {
	var all []string
	for _, l := range lines {
		all = append(all, s.lines(mono, l, textWidth-6)...)
	}
	height := float64(len(all))*mono.leading + 4
	s.room(height)
	s.fill(marginLeft, s.y, textWidth, height, tint)
	for i, line := range all {
		s.put(mono, marginLeft+3, s.y+2+float64(i)*mono.leading, line)
	}
	s.y += height + 3
}

// photos sets pictures in rows of two, or of three where there are many. A row
// stays together.
func (s *sheet) photos(photos []buildfile.Photo) {
	columns := 2
	if len(photos) > 4 {
		columns = 3
	}
	const gap = 5.0
	width := (textWidth - gap*float64(columns-1)) / float64(columns)
	for at := 0; at < len(photos) && s.pdf.Ok(); at += columns {
		s.photoRow(photos[at:min(at+columns, len(photos))], width, gap)
	}
	s.y += 1.5
}

func (s *sheet) photoRow(row []buildfile.Photo, width, gap float64) {
	mostHigh := width * 0.78
	heights, captions := make([]float64, len(row)), make([][]string, len(row))
	tallest, longest := 0.0, 0
	for i, p := range row {
		size := s.picture(p.Hash)
		heights[i] = 9
		if size.width > 0 {
			heights[i] = min(mostHigh, width*size.height/size.width)
		}
		captions[i] = s.lines(note, caption(p), width)
		tallest, longest = max(tallest, heights[i]), max(longest, len(captions[i]))
	}
	height := tallest + float64(longest)*note.leading + 4
	s.room(height)
	for i, p := range row {
		s.photo(p.Hash, marginLeft+float64(i)*(width+gap), width, heights[i], tallest)
		for n, line := range captions[i] {
			s.put(note, marginLeft+float64(i)*(width+gap), s.y+tallest+1+float64(n)*note.leading, line)
		}
	}
	s.y += height
}

func caption(p buildfile.Photo) string {
	switch {
	case p.Tag == "":
		return p.Caption
	case p.Caption == "":
		return strings.ToUpper(p.Tag[:1]) + p.Tag[1:]
	}
	return strings.ToUpper(p.Tag[:1]) + p.Tag[1:] + ": " + p.Caption
}

// photo sets one picture at the foot of its place, or says that it cannot.
func (s *sheet) photo(hash string, x, width, height, tallest float64) {
	size := s.shown[hash]
	y := s.y + tallest - height
	if size.width == 0 {
		s.fill(x, y, width, height, tint)
		for i, line := range s.lines(noteItal, s.undrawn[hash], width-4) {
			s.put(noteItal, x+2, y+1+float64(i)*noteItal.leading, line)
		}
		return
	}
	wide := min(width, height*size.width/size.height)
	s.pdf.ImageOptions(hash, x, y, wide, height, false, jpegOptions, 0, "")
}

// picture takes a photo into the PDF the first time that it is shown.
func (s *sheet) picture(hash string) pictureSize {
	if size, ok := s.shown[hash]; ok || s.pdf.Err() {
		return size
	}
	p, err := s.pictures(s.ctx, hash)
	switch {
	case isNoPicture(err):
		s.shown[hash], s.undrawn[hash] = pictureSize{}, err.Error()
		return pictureSize{}
	case err != nil:
		s.pdf.SetError(fmt.Errorf("the photo %.12s: %w", hash, err))
		return pictureSize{}
	}
	s.pdf.RegisterImageOptionsReader(hash, jpegOptions, strings.NewReader(string(p.JPEG)))
	s.shown[hash] = pictureSize{float64(p.Width), float64(p.Height)}
	return s.shown[hash]
}
