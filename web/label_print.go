package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"wreckwright/chart"
	"wreckwright/workshop"
)

// labelPrinted notes which bags have their labels, so that the next sheet begins
// after them.
func (s *Server) labelPrinted(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	printed, err := s.printedBags(r.Context(), rb.ID)
	if err != nil {
		return err
	}
	var kept []string
	for _, l := range workshop.BagLabels(rb) {
		now := f.Has("bag", l.Code)
		if now && !f.Has("not", "1") || !now && slices.Contains(printed, l.Code) {
			kept = append(kept, l.Code)
		}
	}
	text, err := json.Marshal(kept)
	if err == nil {
		err = s.workshop.Book().SetSetting(r.Context(), printedKey(rb.ID), string(text))
	}
	if err != nil {
		return err
	}
	return s.goOn(w, r, Frame{Rebuild: rb}.Base()+"/strip/labels")
}

// labelFile is one sheet as a drawing to print from elsewhere.
func (s *Server) labelFile(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page := labelPage{Frame: Frame{Rebuild: rb}, Skip: labelSkip(r.URL.Query())}
	chosen, err := s.chosenLabels(r, rb, &page)
	if err != nil {
		return err
	}
	drawn, err := drawnLabels(rb, chosen, address(r))
	if err != nil {
		return err
	}
	sheet, _ := strconv.Atoi(r.URL.Query().Get("sheet"))
	skip := page.Skip
	for n := 1; n < sheet && len(drawn) > 0; n++ {
		drawn, skip = drawn[min(len(drawn), chart.LabelsPerSheet-skip):], 0
	}
	if len(drawn) == 0 {
		return notFound("There are no labels on that sheet.")
	}
	h := w.Header()
	h.Set("Content-Type", "image/svg+xml")
	h.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="bag-labels-%d.svg"`, max(1, sheet)))
	h.Set("Content-Security-Policy", uploadPolicy)
	_, _ = w.Write([]byte(chart.BagLabelSheet(drawn, skip))) // the reader may have gone; nobody is left to tell
	return nil
}
