package report

import (
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// The families of the Go fonts (Bigelow & Holmes, under the licence of Go; its
// notice goes with that of golang.org/x/image). They come with that module, know
// the letters of Europe, and only those used are embedded.
const (
	plainFamily = "go"
	monoFamily  = "gomono"
)

func addFonts(pdf *fpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes(plainFamily, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(plainFamily, "B", gobold.TTF)
	pdf.AddUTF8FontFromBytes(plainFamily, "I", goitalic.TTF)
	pdf.AddUTF8FontFromBytes(monoFamily, "", gomono.TTF)
}

// letters knows which letters the fonts have; all four have the same.
var letters = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(goregular.TTF) })

// unknownLetter stands for one that the fonts do not have: better a mark than
// nothing.
const unknownLetter = '□'

// printable makes a text fit to be set: spaces of other widths become plain
// ones, letters that the fonts lack a mark, and what controls terminals nothing.
func printable(s string) string {
	font, err := letters()
	var buffer sfnt.Buffer
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\u202f' || r == '\u2009' || r == '\t':
			return '\u00a0'
		case unicode.IsControl(r) || r == '\u200b' || r == '\ufe0f' || r == '\u200d':
			return -1
		case r < 0x7f || err != nil:
			return r
		}
		if at, err := font.GlyphIndex(&buffer, r); err != nil || at == 0 || r > 0xffff {
			return unknownLetter
		}
		return r
	}, s)
}
