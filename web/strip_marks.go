package web

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// markedPhoto is a photo with its numbered marks and the rows of its form.
type markedPhoto struct {
	rebuild.Attachment
	Place int // in the item's photos, from 0
	Marks []rebuild.PhotoMark
	Rows  []markRow
}

// markRow is one mark in the form of a photo: one that is there, or room for a
// new one.
type markRow struct {
	At     string // its fields begin with it: "mark.0.3."
	Number int
	New    bool
	Across string // percent of the width
	Down   string
	Text   string
}

// newMarks is how many marks can be added at once without a script.
const newMarks = 3

// markPlaces are nine places to choose from, for who cannot tap the photo.
var markPlaces = []Option{
	{"", "Where on the photo"},
	{"17 17", "Upper left"},
	{"50 17", "Upper middle"},
	{"83 17", "Upper right"},
	{"17 50", "Middle left"},
	{"50 50", "Middle"},
	{"83 50", "Middle right"},
	{"17 83", "Lower left"},
	{"50 83", "Lower middle"},
	{"83 83", "Lower right"},
}

// MarkPlaces are the places to choose from.
func (markedPhoto) MarkPlaces() []Option { return markPlaces }

// Percent is a coordinate of a drawing over the photo.
func (markedPhoto) Percent(share float64) string { return wholePercent(share) + "%" }

// markedPhotos lists the photos with their marks; typed is a form that was
// refused, empty otherwise.
func markedPhotos(item *rebuild.StripItem, typed *Form) []markedPhoto {
	photos := make([]markedPhoto, len(item.Photos))
	for i, a := range item.Photos {
		p := markedPhoto{Attachment: a, Place: i}
		last := 0
		for _, m := range item.Marks {
			if m.Photo != i {
				continue
			}
			p.Marks = append(p.Marks, m)
			last = max(last, m.Number)
			row := markRow{At: markField(i, m.Number), Number: m.Number, Across: wholePercent(m.X), Down: wholePercent(m.Y), Text: m.Text}
			p.Rows = append(p.Rows, row.over(typed))
		}
		slices.SortFunc(p.Rows, func(a, b markRow) int { return a.Number - b.Number })
		for n := last + 1; n <= last+newMarks; n++ {
			p.Rows = append(p.Rows, markRow{At: markField(i, n), Number: n, New: true}.over(typed))
		}
		photos[i] = p
	}
	return photos
}

func markField(photo, number int) string { return fmt.Sprintf("mark.%d.%d.", photo, number) }

// over takes what was typed in a form that was refused.
func (m markRow) over(typed *Form) markRow {
	if len(typed.Values) > 0 {
		m.Across, m.Down, m.Text = typed.Value(m.At+"x"), typed.Value(m.At+"y"), typed.Value(m.At+"text")
	}
	return m
}

// stripMarks takes the marks of one photo as its form has them.
func (s *Server) stripMarks(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.stripOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	photo := int(f.whole("photo", "the photo"))
	item := *now
	item.Rev = f.rev()
	item.Marks = slices.DeleteFunc(slices.Clone(now.Marks), func(m rebuild.PhotoMark) bool { return m.Photo == photo })
	item.Marks = append(item.Marks, f.readMarks(photo)...)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditStripItem(item) },
			func(store.Record) string { return itemPath(r.URL.Path) + fmt.Sprintf("#photo-%d", photo) })
		if !f.take(err) {
			return err
		}
	}
	return s.stripItemForm(w, r, http.StatusUnprocessableEntity, rb, now, f, "marks", now.Photos)
}

// mostMarkRows bounds the marks of one photo that a form may send.
const mostMarkRows = 500

// readMarks reads the marks of a photo: a row that is to go or says nothing is
// none.
func (f *Form) readMarks(photo int) []rebuild.PhotoMark {
	var marks []rebuild.PhotoMark
	for n := 1; n <= mostMarkRows; n++ {
		at := markField(photo, n)
		across, down, text := f.Value(at+"x"), f.Value(at+"y"), f.Value(at+"text")
		if x, y, chosen := strings.Cut(f.Value(at+"place"), " "); chosen {
			across, down = x, y
			f.Set(at+"x", x)
			f.Set(at+"y", y)
		}
		if f.Has(at+"drop", "1") || across == "" && down == "" && text == "" {
			continue
		}
		if across == "" || down == "" {
			f.problem(at+"x", "where is mark %d? Tap the photo, choose a place, or give both figures", n)
			continue
		}
		m := rebuild.PhotoMark{Photo: photo, Number: n, X: f.share100(at+"x", n), Y: f.share100(at+"y", n), Text: text}
		marks = append(marks, m)
	}
	return marks
}

// share100 reads a percentage of a photo's width or height.
func (f *Form) share100(field string, n int) float64 {
	v, err := parseNumber(strings.TrimSpace(strings.TrimSuffix(f.Value(field), "%")))
	if err != nil || v < 0 || v > 100 || math.IsNaN(v) {
		f.problem(field, "mark %d: %q is no place on the photo; it is from 0 to 100 %%", n, f.Value(field))
		return 0
	}
	return v / 100
}
