package web

import (
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// offHere is what came off for a job or in a zone, on the page of that.
type offHere struct {
	Lines []stripLine
	Off   int    // of all, those still off
	More  int    // left out
	Refit string // the address of what of it goes back
	All   string // the address of the whole trail
}

// mostHere bounds the list: the trail has all of it.
const mostHere = 12

func newOffHere(f Frame, rb *rebuild.Rebuild, jobs []int64, zone string) offHere {
	items := workshop.OffFor(rb, jobs, zone)
	h := offHere{Refit: f.Base() + "/refit", All: f.Base() + "/strip#trail"}
	for _, s := range items {
		if s.Off() {
			h.Off++
		}
	}
	switch {
	case zone != "":
		h.Refit, h.All = f.Base()+"/refit?zone="+zone, f.Base()+"/strip?list="+zone+"#trail"
	case len(jobs) == 1:
		h.Refit += "?job=" + strconv.FormatInt(jobs[0], 10)
	}
	shown := items[:min(len(items), mostHere)]
	h.Lines, h.More = linesOf(f.Base(), rb, shown), len(items)-len(shown)
	return h
}
