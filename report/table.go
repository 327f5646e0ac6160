package report

import "wreckwright/prove/buildfile"

const cellGap = 2.5 // millimetres between two columns

// column is where one stands on the page.
type column struct {
	x, width float64
	right    bool
}

// table sets a table; its head comes again on each page.
func (s *sheet) table(t *buildfile.Table) {
	columns := columnsOf(t)
	s.room(s.tableStart(t, columns))
	s.tableHead(t, columns)
	for _, row := range t.Rows {
		s.tableRow(t, columns, row)
	}
	s.y += 3
}

// mostTogether is how many lines of a row are kept on one page.
const mostTogether = 12

// tableStart is the height of a table's head with its first row: a head does not
// stand alone at the foot of a page.
func (s *sheet) tableStart(t *buildfile.Table, columns []column) float64 {
	head, first := 1, 2
	for i, c := range columns {
		head = max(head, len(s.lines(headFace(), t.Head[i], c.width)))
		if len(t.Rows) > 0 && i < len(t.Rows[0]) {
			first = max(first, len(s.lines(small, t.Rows[0][i], c.width)))
		}
	}
	return tableHead + float64(head-1)*note.leading + float64(min(first, mostTogether))*small.leading + 2
}

func columnsOf(t *buildfile.Table) []column {
	all := 0.0
	for _, share := range t.Shares {
		all += share
	}
	columns := make([]column, len(t.Head))
	x := marginLeft
	for i := range columns {
		share := 1 / float64(len(columns))
		if all > 0 {
			share = t.Shares[i] / all
		}
		wide := share * textWidth
		columns[i] = column{x, wide - cellGap, i < len(t.Right) && t.Right[i]}
		x += wide
	}
	return columns
}

// tableHead is the height of a table's head of one line.
const tableHead = 6.0

func (s *sheet) tableHead(t *buildfile.Table, columns []column) {
	head, most := headFace(), 1
	for i, c := range columns {
		lines := s.lines(head, t.Head[i], c.width)
		most = max(most, len(lines))
		for n, line := range lines {
			s.cell(head, c, s.y+float64(n)*head.leading, line)
		}
	}
	s.y += float64(most) * head.leading
	s.line(marginLeft, s.y+0.6, pageWidth-marginRight, s.y+0.6, 0.3, ink)
	s.y += 1.6
}

func headFace() face {
	head := note
	head.style = "B"
	return head
}

func (s *sheet) cell(f face, c column, y float64, line string) {
	if c.right {
		s.putRight(f, c.x+c.width, y, line)
		return
	}
	s.put(f, c.x, y, line)
}

// tableRow sets a row; one that does not fit goes to the next page, and one taller
// than a page is parted between lines.
func (s *sheet) tableRow(t *buildfile.Table, columns []column, row []string) {
	cells, most := make([][]string, len(columns)), 1
	for i, c := range columns {
		if i < len(row) {
			cells[i] = s.lines(small, row[i], c.width)
		}
		most = max(most, len(cells[i]))
	}
	for from := 0; from < most; {
		fits := int((s.left() - 2) / small.leading)
		if fits < min(most-from, mostTogether) {
			s.page()
			s.tableHead(t, columns)
			continue
		}
		to := min(most, from+fits)
		for i, c := range columns {
			for n := from; n < min(to, len(cells[i])); n++ {
				s.cell(small, c, s.y+float64(n-from)*small.leading, cells[i][n])
			}
		}
		s.y += float64(to-from) * small.leading
		from = to
	}
	s.line(marginLeft, s.y+0.5, pageWidth-marginRight, s.y+0.5, 0.1, rule)
	s.y += 1.5
}
