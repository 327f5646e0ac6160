package chart

import _ "embed"

//go:embed chart.css
var stylesheet string

// Stylesheet returns chart.css, to be served with the page's own. The page sets --ink, --paper, --muted, --accent,
// --warn and --good for light, dark and print.
func Stylesheet() string { return stylesheet }
