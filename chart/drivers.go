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
	l := driverLayout{row: 44, nameWidth: size.width() - 70, barLeft: 2, barTop: 22}
	l.bar = Scale{High: d.top(), To: size.width() - 4}
	if !size.narrow() {
		l = driverLayout{row: 32, nameWidth: size.width() * 0.42, barLeft: size.width()*0.42 + 14, barTop: 4}
		l.bar = Scale{High: d.top(), To: size.width() - l.barLeft - 64}
	}
	g := &drawing{width: size.width(), height: 8 + float64(len(d.Items))*l.row}
	for n, i := range d.Items {
		l.drawRow(g, i, 4+float64(n)*l.row)
	}
	return g
}

// top is the largest share, where the bars end.
func (d Drivers) top() float64 {
	top := 1e-9
	for _, i := range d.Items {
		if finite(i.Share) {
			top = max(top, i.Share)
		}
	}
	return top
}

// driverLayout says where the parts of a row lie: on a phone the bar under the name, else beside it.
type driverLayout struct {
	row, nameWidth, barLeft, barTop float64
	bar                             Scale
}

func (l driverLayout) drawRow(g *drawing, i Driver, y float64) {
	words, short := cut(i.Name, textSize, l.nameWidth)
	name := label("fig-name", 2, y+14, atStart, words)
	if short {
		name.title = i.Name
	}
	length := 0.0
	if finite(i.Share) {
		length = l.bar.At(i.Share)
	}
	g.add(name, level("fig-grid", y+l.barTop+12, l.barLeft, l.barLeft+l.bar.To))
	g.add(rectShape{class: "fig-bar", x: l.barLeft, y: y + l.barTop, w: length, h: 12})
	g.add(label("fig-value", g.width-2, y+14, atEnd, percent(i.Share)))
}
