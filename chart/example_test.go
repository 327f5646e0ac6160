package chart_test

import (
	"fmt"
	"strings"

	"wreckwright/chart"
)

// A page puts Figure.HTML into its template and serves Stylesheet.
func Example() {
	figure := chart.NewCeilingBar(chart.CeilingBar{
		Head:  chart.Head{ID: "money", Title: "Money under the ceiling"},
		Money: chart.Money{Symbol: "£"},
		Spent: 21340, P50: 34200, P80: 37300, Ceiling: 38000,
	})
	html := string(figure.HTML())
	desc := html[strings.Index(html, "<desc"):]
	fmt.Println(desc[strings.Index(desc, ">")+1 : strings.Index(desc, "</desc>")])
	// Output: spent £21,340; to come £12,860; left £3,800; total, even chance £34,200; total, four chances in five that it is less £37,300; ceiling £38,000
}
