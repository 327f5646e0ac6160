package chart

import (
	"html/template"
	"strings"
)

// Table is the data of a figure in words. The first cell of a row names it.
type Table struct {
	Columns []string
	Rows    [][]string
}

func (t Table) html(caption string) template.HTML {
	var b strings.Builder
	b.WriteString(`<table class="fig-table"><caption>` + escape(caption) + `</caption><thead><tr>`)
	for i, c := range t.Columns {
		class := ` class="fig-num"`
		if i == 0 {
			class = ""
		}
		b.WriteString(`<th scope="col"` + class + `>` + escape(c) + `</th>`)
	}
	b.WriteString(`</tr></thead><tbody>`)
	for _, row := range t.Rows {
		b.WriteString(`<tr>`)
		for i, cell := range row {
			if i == 0 {
				b.WriteString(`<th scope="row">` + escape(cell) + `</th>`)
			} else {
				b.WriteString(`<td class="fig-num">` + escape(cell) + `</td>`)
			}
		}
		b.WriteString(`</tr>`)
	}
	b.WriteString(`</tbody></table>`)
	return template.HTML(b.String())
}
