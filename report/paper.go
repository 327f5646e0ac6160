package report

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"wreckwright/prove/buildfile"
)

var jpegOptions = fpdf.ImageOptions{ImageType: "JPEG"}

func isNoPicture(err error) bool { return errors.Is(err, errNoPicture) }

// Pictures gives a photo made small by its hash. errNoPicture says that it cannot
// be shown; any other error ends the work.
type Pictures func(ctx context.Context, hash string) (Picture, error)

// Paper sets a document as a PDF. The same document and moment give the same
// bytes.
func Paper(ctx context.Context, w io.Writer, d *buildfile.Document, madeAt time.Time, pictures Pictures) error {
	s := newSheet(ctx, d.Title+" – build file", d.Author, d.Program, madeAt)
	s.pictures = pictures
	s.titlePage(d)
	s.running = "Contents"
	s.page()
	contents := s.pdf.PageNo()
	starts := make([]int, len(d.Sections))
	links := make([]int, len(d.Sections))
	for i, section := range d.Sections {
		if err := ctx.Err(); err != nil {
			return err
		}
		links[i] = s.pdf.AddLink()
		starts[i] = s.section(i+1, section, links[i])
	}
	if err := s.pdf.Error(); err != nil {
		return fmt.Errorf("setting the pages: %w", err)
	}
	s.contents(contents, d, starts, links)
	s.furniture(d)
	return s.pdf.Output(w)
}

// section sets a chapter and says on which page it begins. A short one goes on
// where the last ended.
func (s *sheet) section(number int, section buildfile.Section, link int) int {
	s.running = section.Title
	if number == 1 || s.left() < 90 {
		s.page()
	} else {
		s.y += 6
	}
	s.pdf.SetLink(link, s.y, s.pdf.PageNo())
	s.pdf.Bookmark(printable(section.Title), 0, s.y)
	s.fill(marginLeft, s.y, 12, 0.9, accent)
	s.y += 2.6
	for _, line := range s.lines(chapter, strconv.Itoa(number)+"  "+section.Title, textWidth) {
		s.put(chapter, marginLeft, s.y, line)
		s.y += chapter.leading
	}
	s.y += 2
	start := s.pdf.PageNo()
	for _, b := range section.Blocks {
		if s.ctx.Err() != nil || s.pdf.Err() {
			break
		}
		s.block(b)
	}
	return start
}

// contents fills the page that was kept free for it.
func (s *sheet) contents(page int, d *buildfile.Document, starts, links []int) {
	last := s.pdf.PageNo()
	s.pdf.SetPage(page)
	s.y = marginTop
	s.put(chapter, marginLeft, s.y, "Contents")
	s.y += chapter.leading + 4
	for i, section := range d.Sections {
		s.put(body, marginLeft, s.y, strconv.Itoa(i+1))
		s.put(body, marginLeft+8, s.y, printable(section.Title))
		s.putRight(body, pageWidth-marginRight, s.y, strconv.Itoa(starts[i]))
		s.line(marginLeft, s.y+body.leading+0.6, pageWidth-marginRight, s.y+body.leading+0.6, 0.1, rule)
		s.pdf.Link(marginLeft, s.y, textWidth, body.leading+1, links[i])
		s.y += body.leading + 2.2
	}
	s.pdf.SetPage(last)
}

// furniture sets head and foot of every page but the first.
func (s *sheet) furniture(d *buildfile.Document) {
	last := s.pdf.PageCount()
	for page := 2; page <= last; page++ {
		s.pdf.SetPage(page)
		s.put(note, marginLeft, 13, printable(d.Title))
		s.putRight(note, pageWidth-marginRight, 13, printable(s.heads[page-1]))
		s.line(marginLeft, 18, pageWidth-marginRight, 18, 0.15, rule)
		foot := pageHeight - 14
		s.put(note, marginLeft, foot, printable("Build file, "+string(d.Edition)+" edition, "+d.MadeOn))
		s.putRight(note, pageWidth-marginRight, foot, fmt.Sprintf("page %d of %d", page, last))
	}
}
