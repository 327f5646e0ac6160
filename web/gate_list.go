package web

import (
	"net/http"
	"strconv"
	"strings"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// gateWords are a gate as pages name it.
type gateWords struct {
	Name   string
	Before string // before what it stands
}

var gateNames = map[rebuild.Gate]gateWords{
	rebuild.GateRoadTest:   {"Road test", "before it moves on a road under its own power"},
	rebuild.GateBodyShop:   {"Body shop", "before paint is paid for"},
	rebuild.GateInspection: {"Inspection", "before it is taken to the official test"},
	rebuild.GateHandOver:   {"Hand-over", "before somebody else drives it, or it is called done"},
}

// gatesPage shows the four gates at a glance.
type gatesPage struct {
	Frame
	Gates  []workshop.GateLine
	Drives workshop.Shakedown
	Chance float64 // of the inspection, as rehearsed
	Looked int
	Items  int
}

func (s *Server) gatesShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Prove", "prove", rb)
	if err != nil {
		return err
	}
	page := gatesPage{Frame: frame}
	if page.Gates, err = s.workshop.Gates(r.Context(), rb); err != nil {
		return err
	}
	if page.Drives, err = s.workshop.Shakedown(r.Context(), rb); err != nil {
		return err
	}
	inspection, err := workshop.InspectionOf(rb)
	if err != nil {
		return err
	}
	page.Chance, page.Looked, page.Items = inspection.Reckoned.Chance, inspection.Reckoned.Looked, len(inspection.Reckoned.Items)
	return s.show(w, http.StatusOK, "gates", page)
}

// Moment shows a moment as the clock on the wall said it.
func (f Frame) Moment(at string) string { return momentWords(at) }

// GateName is a gate in words.
func (f Frame) GateName(g rebuild.Gate) string { return gateNames[g].Name }

// GateBefore says before what a gate stands.
func (f Frame) GateBefore(g rebuild.Gate) string { return gateNames[g].Before }

// GatePath is the page of a gate.
func (f Frame) GatePath(g rebuild.Gate) string { return f.Base() + "/gates/" + gateSlug(g) }

func gateSlug(g rebuild.Gate) string { return strings.ReplaceAll(string(g), " ", "-") }

func gateFromSlug(slug string) (rebuild.Gate, bool) {
	for _, g := range rebuild.Gates {
		if gateSlug(g) == slug {
			return g, true
		}
	}
	return "", false
}

// AgainstPath is where one goes to put right what stands against a gate.
func (f Frame) AgainstPath(a gate.Against) string {
	numbered := map[string]string{
		"finding": "/findings/", "job": "/jobs/", "joint": "/joints/", "check": "/bench/evidence/", "codes": "/bench/evidence/", "case": "/cases/", "strip item": "/strip/",
	}
	if room, ok := numbered[a.Kind]; ok {
		return f.Base() + room + strconv.FormatInt(a.ID, 10)
	}
	switch a.Kind {
	case "shakedown stage":
		return f.Base() + "/shakedown/" + a.Key
	case "inspection item":
		if a.Key == "unseen" {
			return f.Base() + "/inspection"
		}
		return f.Base() + "/inspection/" + a.Key
	case "official test":
		return f.Base() + "/inspection#official"
	case "gate":
		return f.GatePath(rebuild.GateRoadTest)
	case "left over":
		return f.Base() + "/refit"
	case "stage":
		return f.Base() + "/car#stage-3"
	case "category":
		return f.Base() + "/car"
	case "caution", "must-do":
		return "#papers"
	}
	return f.Base() + "/findings"
}
