package chart

import (
	"html/template"
	"strconv"
	"strings"
)

// quietZone is the white border that a reader needs around a QR code, in modules
// (ISO/IEC 18004).
const quietZone = 4

// QRCode draws the modules of a QR code, rows from the top, as one path on white
// with its quiet zone: black on white whatever the page's colours are, since a
// camera reads it. name is what a screen reader says.
func QRCode(modules [][]bool, name string) template.HTML {
	w := &svgWriter{}
	side := strconv.Itoa(len(modules) + 2*quietZone)
	w.open("svg", "class", "fig-qr", "viewBox", "0 0 "+side+" "+side, "role", "img", "aria-label", name, "shape-rendering", "crispEdges")
	w.raw(">")
	writeQR(w, modules)
	w.raw("</svg>")
	return template.HTML(w.b.String())
}

// writeQR writes the code with its quiet zone, one unit a module.
func writeQR(w *svgWriter, modules [][]bool) {
	side := strconv.Itoa(len(modules) + 2*quietZone)
	w.element("rect", "", "width", side, "height", side, "fill", "#fff")
	w.element("path", "", "fill", "#000", "d", qrPath(modules))
}

// qrPath is the black modules as runs, each a rectangle one unit high.
func qrPath(modules [][]bool) string {
	var d strings.Builder
	for y, row := range modules {
		for x := 0; x < len(row); x++ {
			if !row[x] {
				continue
			}
			run := 1
			for x+run < len(row) && row[x+run] {
				run++
			}
			n := strconv.Itoa(run)
			d.WriteString("M" + strconv.Itoa(x+quietZone) + " " + strconv.Itoa(y+quietZone) + "h" + n + "v1h-" + n + "z")
			x += run
		}
	}
	return d.String()
}
