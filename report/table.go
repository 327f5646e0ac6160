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
	s.room(tableHead + 2*small.leading)
	s.tableHead(t, columns)
	for _, row := range t.Rows {
		s.tableRow(t, columns, row)
	}
	s.y += 3
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
	head := note
	head.style = "B"
	most := 1
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
		if fits < min(most-from, 12) {
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
