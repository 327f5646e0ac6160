package web

import (
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// stripPage is the strip trail: the form for what comes off next, what came off
// last with its quick repeat, and the trail.
type stripPage struct {
	Frame
	Entry    stripForm
	Zone     *rebuild.Zone // where the person works; nil: not said
	Places   []Option      // other zones where things are off
	Cautions []knowledge.Caution
	Just     *stripLine // what came off last
	Bag      string     // the next free one
	AtOpen   bool       // it came off earlier than now

	Filter         stripFilter
	Shows, Lists   []Option
	Lines          []stripLine
	Matches        int
	All, Off       int
	Previous, Next string
}

const stripPageSize = 50

func (s *Server) stripShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("zone", zoneAtHand(rb, r.URL.Query().Get("zone")))
	page, err := s.stripPage(r, rb, f)
	if err != nil {
		return err
	}
	if just, err := strconv.ParseInt(r.URL.Query().Get("just"), 10, 64); err == nil {
		if item := rb.StripItem(just); item != nil {
			line := newStripLine(page.Base(), stripNumbers(rb)[just], item)
			page.Just = &line
		}
	}
	return s.showPart(w, r, "strip", "strip-list", page)
}

// zoneAtHand is the zone that was asked for, else where something came off last:
// one stays at a corner for hours.
func zoneAtHand(rb *rebuild.Rebuild, asked string) string {
	if rb.Zone(asked) != nil {
		return asked
	}
	if trail := rb.Trail(); len(trail) > 0 && asked == "" {
		return trail[len(trail)-1].Zone
	}
	return ""
}

// stripAgain shows the page with a form that was refused.
func (s *Server) stripAgain(w http.ResponseWriter, r *http.Request, f *Form, photos []rebuild.Attachment) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page, err := s.stripPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Entry.Photos, page.AtOpen = photos, f.Value("at") != ""
	return s.show(w, http.StatusUnprocessableEntity, "strip", page)
}

func (s *Server) stripPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (stripPage, error) {
	frame, err := s.frame(r, "Strip", "strip", rb)
	if err != nil {
		return stripPage{}, err
	}
	zone := f.Value("zone")
	page := stripPage{
		Frame: frame, Entry: newStripForm(rb, f, 0), Zone: rb.Zone(zone), Bag: rb.NextBag(),
		Cautions: knowledge.CautionsAt(zone, ""), Filter: readStripFilter(r.URL.Query()),
		Shows: []Option{{"", "Off and back"}, {"off", "Still off"}, {"back", "Back on"}},
		All:   len(rb.Strip), Off: len(rb.StillOff("")),
	}
	page.Places, page.Lists = stripPlaces(rb, zone)
	page.fill(stripLines(frame.Base(), rb, page.Filter))
	return page, nil
}

// stripPlaces are the other zones where something is off, and all zones of the
// trail.
func stripPlaces(rb *rebuild.Rebuild, now string) (places, lists []Option) {
	off, any := map[string]bool{}, map[string]bool{}
	for i := range rb.Strip {
		item := &rb.Strip[i]
		off[item.Zone] = off[item.Zone] || item.Off()
		any[item.Zone] = true
	}
	lists = []Option{{"", "All zones"}}
	for _, z := range rebuild.ZonePlaces {
		if off[z.Key] && z.Key != now {
			places = append(places, Option{z.Key, z.Name})
		}
		if any[z.Key] {
			lists = append(lists, Option{z.Key, z.Name})
		}
	}
	return places, lists
}

// fill takes one page out of the lines.
func (p *stripPage) fill(lines []stripLine) {
	p.Matches = len(lines)
	last := max(1, (len(lines)+stripPageSize-1)/stripPageSize)
	now := min(p.Filter.Page, last)
	if now > 1 {
		p.Previous = p.Filter.Query(now - 1)
	}
	if now < last {
		p.Next = p.Filter.Query(now + 1)
	}
	p.Lines = lines[(now-1)*stripPageSize : min(len(lines), now*stripPageSize)]
}

// Repeats are how many more of the same one tap enters.
func (stripPage) Repeats() []int { return []int{1, 2, 3, 5} }
