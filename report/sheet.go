package report

import (
	"context"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Measures of a page, in millimetres: A4 with room for a punch on the left.
const (
	pageWidth    = 210.0
	pageHeight   = 297.0
	marginLeft   = 22.0
	marginRight  = 18.0
	marginTop    = 26.0
	marginBottom = 22.0
	textWidth    = pageWidth - marginLeft - marginRight
)

// colour is red, green and blue.
type colour [3]int

// The colours: those of the pages in print. A word always stands beside a colour.
var (
	ink    = colour{34, 31, 27}
	muted  = colour{104, 96, 84}
	rule   = colour{205, 198, 186}
	tint   = colour{246, 242, 234}
	accent = colour{12, 92, 90}
	good   = colour{44, 95, 45}
	bad    = colour{152, 48, 15}
	open   = colour{138, 94, 8}
)

// face is how a text is set: family, style, size in points, distance of its lines
// in millimetres, colour.
type face struct {
	family, style string
	size, leading float64
	colour        colour
}

var (
	body      = face{plainFamily, "", 9.5, 4.7, ink}
	bodyBold  = face{plainFamily, "B", 9.5, 4.7, ink}
	small     = face{plainFamily, "", 8, 3.9, ink}
	smallBold = face{plainFamily, "B", 8, 3.9, ink}
	note      = face{plainFamily, "", 8, 3.9, muted}
	noteItal  = face{plainFamily, "I", 8, 3.9, muted}
	mono      = face{monoFamily, "", 7.6, 4.0, ink}
	chapter   = face{plainFamily, "B", 17, 8, ink}
	heading   = face{plainFamily, "B", 11, 5.4, ink}
)

// sheet is the paper that a document is set on.
type sheet struct {
	pdf      *fpdf.Fpdf
	ctx      context.Context
	y        float64
	running  string   // the section that runs in the head of a page
	heads    []string // of each page
	pictures func(ctx context.Context, hash string) (Picture, error)
	shown    map[string]pictureSize // that are in the PDF already; a width of 0: cannot be shown
	undrawn  map[string]string      // what is said instead
}

type pictureSize struct{ width, height float64 } // pixels

func newSheet(ctx context.Context, title, author, program string, madeAt time.Time) *sheet {
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true) // the same document gives the same bytes
	pdf.SetCreationDate(madeAt.UTC())
	pdf.SetModificationDate(madeAt.UTC())
	pdf.SetTitle(title, true)
	pdf.SetAuthor(author, true)
	pdf.SetCreator(program, true)
	pdf.SetProducer(program, true)
	pdf.SetLang("en-GB")
	pdf.SetDisplayMode("fullwidth", "continuous")
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	pdf.SetAutoPageBreak(false, 0)
	addFonts(pdf)
	return &sheet{pdf: pdf, ctx: ctx, shown: map[string]pictureSize{}, undrawn: map[string]string{}}
}

// page begins a new page.
func (s *sheet) page() {
	s.pdf.AddPage()
	s.heads = append(s.heads, s.running)
	s.y = marginTop
}

// room begins a new page where less than that is left.
func (s *sheet) room(height float64) {
	if s.y+height > pageHeight-marginBottom && s.y > marginTop {
		s.page()
	}
}

func (s *sheet) left() float64 { return pageHeight - marginBottom - s.y }

func (s *sheet) use(f face) {
	s.pdf.SetFont(f.family, f.style, f.size)
	s.pdf.SetTextColor(f.colour[0], f.colour[1], f.colour[2])
}

// lines parts a text into lines of that width.
func (s *sheet) lines(f face, text string, width float64) []string {
	s.use(f)
	var out []string
	for line := range strings.SplitSeq(printable(strings.TrimRight(text, "\n ")), "\n") {
		parted := s.pdf.SplitText(line, width)
		if len(parted) == 0 {
			parted = []string{""}
		}
		out = append(out, parted...)
	}
	return out
}

// put sets one line with its top at y.
func (s *sheet) put(f face, x, y float64, line string) {
	s.use(f)
	s.pdf.Text(x, y+f.leading*0.76, strings.TrimSpace(line))
}

// putRight sets one line that ends at x.
func (s *sheet) putRight(f face, x, y float64, line string) {
	s.use(f)
	line = strings.TrimSpace(line)
	s.pdf.Text(x-s.pdf.GetStringWidth(line), y+f.leading*0.76, line)
}

// flow sets a text from x on, over pages where it must; at least two lines stay
// together.
func (s *sheet) flow(f face, x, width float64, text string) {
	lines := s.lines(f, text, width)
	if len(lines) > 1 {
		s.room(2 * f.leading)
	}
	for _, line := range lines {
		s.room(f.leading)
		s.put(f, x, s.y, line)
		s.y += f.leading
	}
}

func (s *sheet) line(x1, y1, x2, y2, width float64, c colour) {
	s.pdf.SetDrawColor(c[0], c[1], c[2])
	s.pdf.SetLineWidth(width)
	s.pdf.Line(x1, y1, x2, y2)
}

func (s *sheet) fill(x, y, width, height float64, c colour) {
	s.pdf.SetFillColor(c[0], c[1], c[2])
	s.pdf.Rect(x, y, width, height, "F")
}
