package web

import (
	"context"
	"encoding/json"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rsc.io/qr"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// labelPage is a sheet of bag labels to print, and the choice of what is on it.
type labelPage struct {
	Frame
	Lines   []labelLine // all bags, to choose from
	Chosen  int
	Further int      // chosen too, but more than is printed at once
	New     int      // of all, those not printed yet
	Skip    int      // places of a begun sheet that stay empty
	Blank   []int    // those places, to be left out on the page
	Sheets  []labels // as they are printed
	Files   []Option // the sheets as files: address, name
	Picked  string   // "new", "all", or "these"
	Local   bool     // the codes lead to an address that no phone reaches
	Address string   // what the codes begin with
	Bags    []string // codes of what is chosen, for the form that says they are printed
}

// mostLabels is how many are printed at once, mostBags how many are offered.
const mostLabels, mostBags = 5 * chart.LabelsPerSheet, 300

// labels are those of one sheet.
type labels []template.HTML

// labelLine is one bag to choose.
type labelLine struct {
	workshop.BagLabel
	Printed, On bool
	Href        string
}

// labelShow is the sheet of what was chosen: at first what was not printed yet.
func (s *Server) labelShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Bag labels", "strip", rb)
	if err != nil {
		return err
	}
	page := labelPage{Frame: frame, Address: address(r), Local: isLocal(r), Skip: labelSkip(r.URL.Query())}
	chosen, err := s.chosenLabels(r, rb, &page)
	if err != nil {
		return err
	}
	drawn, err := drawnLabels(rb, chosen, page.Address)
	if err != nil {
		return err
	}
	page.sheets(drawn)
	return s.show(w, http.StatusOK, "labels", page)
}

// chosenLabels fills the list of bags and gives those that are to be printed.
func (s *Server) chosenLabels(r *http.Request, rb *rebuild.Rebuild, page *labelPage) ([]workshop.BagLabel, error) {
	printed, err := s.printedBags(r.Context(), rb.ID)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	page.Picked = q.Get("pick")
	if len(q["bag"]) > 0 {
		page.Picked = "these"
	}
	if page.Picked == "" {
		page.Picked = "new"
	}
	var chosen []workshop.BagLabel
	for _, l := range workshop.BagLabels(rb) {
		line := labelLine{BagLabel: l, Printed: slices.Contains(printed, l.Code), Href: stripPath(page.Base(), l.Item.ID)}
		switch page.Picked {
		case "these":
			line.On = slices.Contains(q["bag"], l.Code)
		case "all":
			line.On = true
		default:
			line.On = !line.Printed
		}
		if !line.Printed {
			page.New++
		}
		if line.On && len(chosen) == mostLabels {
			line.On = false
			page.Further++
		}
		if line.On {
			chosen = append(chosen, l)
			page.Bags = append(page.Bags, l.Code)
		}
		if line.On || len(page.Lines) < mostBags {
			page.Lines = append(page.Lines, line)
		}
	}
	page.Chosen = len(chosen)
	return chosen, nil
}

// labelSkip is how many places of a begun sheet stay empty.
func labelSkip(q url.Values) int {
	n, _ := strconv.Atoi(q.Get("from"))
	return min(max(n-1, 0), chart.LabelsPerSheet-1)
}

// sheets parts the labels into sheets.
func (p *labelPage) sheets(drawn []chart.BagLabel) {
	p.Blank = make([]int, p.Skip)
	skip := p.Skip
	for n := 1; len(drawn) > 0; n++ {
		fit := min(len(drawn), chart.LabelsPerSheet-skip)
		var sheet labels
		for _, l := range drawn[:fit] {
			sheet = append(sheet, l.Drawn())
		}
		p.Sheets = append(p.Sheets, sheet)
		q := url.Values{"bag": p.Bags, "from": {strconv.Itoa(p.Skip + 1)}, "sheet": {strconv.Itoa(n)}}
		p.Files = append(p.Files, Option{p.Base() + "/strip/labels.svg?" + q.Encode(), fmt.Sprintf("Sheet %d as a file (SVG)", n)})
		drawn, skip = drawn[fit:], 0
	}
}

// drawnLabels puts a code on each that opens its entry.
func drawnLabels(rb *rebuild.Rebuild, chosen []workshop.BagLabel, address string) ([]chart.BagLabel, error) {
	drawn := make([]chart.BagLabel, len(chosen))
	base := Frame{Rebuild: rb}.Base()
	for i, l := range chosen {
		modules, err := qrModules(address + stripPath(base, l.Item.ID))
		if err != nil {
			return nil, err
		}
		drawn[i] = chart.BagLabel{Code: l.Code, What: l.Item.What, Lines: l.Lines(), Foot: rb.Car.Name, Renew: l.Renew, Modules: modules}
	}
	return drawn, nil
}

// qrModules encodes an address; level M mends what a greasy thumb covers.
func qrModules(text string) ([][]bool, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return nil, fmt.Errorf("the code for %q: %w", text, err)
	}
	modules := make([][]bool, code.Size)
	for y := range modules {
		modules[y] = make([]bool, code.Size)
		for x := range modules[y] {
			modules[y][x] = code.Black(x, y)
		}
	}
	return modules, nil
}

// address is where this workbench answers, as the browser that asks reaches it.
func address(r *http.Request) string {
	if r.TLS != nil {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// isLocal reports whether only this machine can reach that address.
func isLocal(r *http.Request) bool {
	host := r.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return strings.EqualFold(host, "localhost") || ip != nil && ip.IsLoopback()
}

// printedKey is the setting that keeps which bags have their labels.
func printedKey(id int64) string { return fmt.Sprintf("labels printed %d", id) }

func (s *Server) printedBags(ctx context.Context, id int64) ([]string, error) {
	text, err := s.workshop.Book().Setting(ctx, printedKey(id))
	if err != nil || text == "" {
		return nil, err
	}
	var bags []string
	if err := json.Unmarshal([]byte(text), &bags); err != nil {
		return nil, nil // a list that cannot be read costs a reprint only
	}
	return bags, nil
}
