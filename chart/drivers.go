package chart

import "fmt"

// Driver is one cause of the doubt and its share of it (0 to 1).
type Driver struct {
	Name  string
	Share float64
}

// Drivers is the list of what drives the doubt, largest first as given.
type Drivers struct {
	Head
	Items []Driver
}

// NewDrivers draws one bar for each driver, all on one scale that ends at the largest share.
func NewDrivers(d Drivers) Figure {
	t := Table{Columns: []string{"Driver", "Share of the doubt"}}
	for _, i := range d.Items {
		t.Rows = append(t.Rows, []string{i.Name, percent(i.Share)})
	}
	if d.Desc == "" && len(d.Items) > 0 {
		d.Desc = fmt.Sprintf("%d drivers; the first is %s with %s.", len(d.Items), d.Items[0].Name, percent(d.Items[0].Share))
	}
	return Figure{head: d.Head, role: "img", draw: d.draw, table: t}
}

func (d Drivers) draw(size Size) *drawing {
	if len(d.Items) == 0 {
		return message(size, "Nothing open drives the doubt.")
	}
	top := 0.0
	for _, i := range d.Items {
		if finite(i.Share) {
			top = max(top, i.Share)
		}
	}
	g := &drawing{width: size.width()}
	row, nameWidth, barLeft, barTop := 44.0, g.width-70, 2.0, 22.0
	if !size.narrow() {
		row, nameWidth, barLeft, barTop = 32, g.width*0.42, g.width*0.42+14, 8
	}
	length := Scale{Low: 0, High: max(top, 1e-9), From: 0, To: g.width - barLeft - 64}
	if size.narrow() {
		length.To = g.width - 2*barLeft
	}
	for n, i := range d.Items {
		y := 4 + float64(n)*row
		words, short := cut(i.Name, textSize, nameWidth)
		name := label("fig-name", 2, y+14, atStart, words)
		if short {
			name.title = i.Name
		}
		bar := 0.0
		if finite(i.Share) {
			bar = length.At(i.Share)
		}
		at := point{g.width - 2, y + 14}
		g.add(name, level("fig-grid", y+barTop+12, barLeft, barLeft+length.To))
		g.add(rectShape{class: "fig-bar", x: barLeft, y: y + barTop, w: bar, h: 12})
		g.add(textShape{class: "fig-text fig-value", at: at, anchor: atEnd, size: textSize, text: percent(i.Share)})
	}
	g.height = 8 + float64(len(d.Items))*row
	return g
}
