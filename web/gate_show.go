package web

import (
	"net/http"
	"slices"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// gatePage is one gate: what stands against it, what is to be confirmed, and the
// way through.
type gatePage struct {
	Frame
	Line     workshop.GateLine
	Hard     []againstGroup
	OfCar    []againstGroup // the others that are about the car
	Papers   []againstGroup // that no box below settles
	Cautions []cautionBox   // only at the road test
	MustDos  []mustDoBox
	Passes   []*rebuild.GatePass // the latest first
	Form     *Form
}

// againstGroup is what stands against a gate by one rule: the same is to be done
// about all of it.
type againstGroup struct {
	Do    string
	First []gate.Against
	More  []gate.Against // in a fold
}

// mostOfRule is how much of what one rule says stands open.
const mostOfRule = 6

// addAgainst adds to the group of its rule.
func addAgainst(list []againstGroup, a gate.Against) []againstGroup {
	if n := len(list); n == 0 || list[n-1].Do != a.Do {
		list = append(list, againstGroup{Do: a.Do})
	}
	g := &list[len(list)-1]
	if len(g.First) < mostOfRule {
		g.First = append(g.First, a)
	} else {
		g.More = append(g.More, a)
	}
	return list
}

// cautionBox is a caution to read, and who has.
type cautionBox struct {
	knowledge.Caution
	Word *rebuild.Confirmation
}

// mustDoBox is something that the law asks for, and who says that it is so.
type mustDoBox struct {
	workshop.MustDo
	Word *rebuild.Confirmation
}

// Unread is how many boxes are not ticked yet.
func (p gatePage) Unread() int {
	n := 0
	for _, b := range p.Cautions {
		if b.Word == nil {
			n++
		}
	}
	for _, b := range p.MustDos {
		if b.Word == nil {
			n++
		}
	}
	return n
}

// NewSince is how many came up since it was passed.
func (p gatePage) NewSince() int { return len(p.Line.New) }

// IsNew reports whether something came up since the pass.
func (p gatePage) IsNew(a gate.Against) bool {
	return p.Line.Pass != nil && slices.Contains(p.Line.New, a)
}

// Sources are where the rules come from that stand against the gate.
func (p gatePage) Sources() []string {
	var list []string
	for _, a := range p.Line.Against {
		for _, source := range sourcesOf(a.Source) {
			if !slices.Contains(list, source.Words) {
				list = append(list, source.Words)
			}
		}
	}
	if len(list) == 0 {
		list = []string{"own design, common practice"}
	}
	return list
}

func (s *Server) gateShow(w http.ResponseWriter, r *http.Request) error {
	rb, which, err := s.gateOf(r)
	if err != nil {
		return err
	}
	return s.gateForm(w, r, http.StatusOK, rb, which, &Form{})
}

// gateOf finds the gate that the address names.
func (s *Server) gateOf(r *http.Request) (*rebuild.Rebuild, rebuild.Gate, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, "", err
	}
	which, ok := gateFromSlug(r.PathValue("gate"))
	if !ok {
		return nil, "", notFound("There is no such gate. The page Prove lists all four.")
	}
	return rb, which, nil
}

// gateForm shows a gate; f is the form that was refused, empty otherwise.
func (s *Server) gateForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, which rebuild.Gate, f *Form) error {
	frame, err := s.frame(r, gateNames[which].Name, "prove", rb)
	if err != nil {
		return err
	}
	lines, err := s.workshop.Gates(r.Context(), rb)
	if err != nil {
		return err
	}
	page := gatePage{Frame: frame, Form: f}
	page.Line = lines[slices.IndexFunc(lines, func(l workshop.GateLine) bool { return l.Which == which })]
	page.sort()
	page.boxes(rb, which, s.today())
	for i := range rb.GatePasses {
		if p := &rb.GatePasses[i]; p.Gate == which {
			page.Passes = append(page.Passes, p)
		}
	}
	slices.Reverse(page.Passes)
	return s.show(w, status, "gate", page)
}

// sort parts what stands against the gate by how it is settled.
func (p *gatePage) sort() {
	for _, a := range p.Line.Against {
		switch {
		case a.Hard:
			p.Hard = addAgainst(p.Hard, a)
		case !a.Papers:
			p.OfCar = addAgainst(p.OfCar, a)
		case a.Kind != "caution" && a.Kind != "must-do":
			p.Papers = addAgainst(p.Papers, a)
		}
	}
}

// boxes lists what is to be ticked at that gate.
func (p *gatePage) boxes(rb *rebuild.Rebuild, which rebuild.Gate, today string) {
	if which == rebuild.GateRoadTest {
		for _, c := range workshop.GateCautions(rb) {
			p.Cautions = append(p.Cautions, cautionBox{c, rb.Confirmation(rebuild.ConfirmCaution, c.Hazard)})
		}
	}
	for _, m := range mustDosAt(rb, which, today) {
		p.MustDos = append(p.MustDos, mustDoBox{m, rb.Confirmation(rebuild.ConfirmMustDo, m.Key)})
	}
}

// mustDosAt are what the law asks for at that gate.
func mustDosAt(rb *rebuild.Rebuild, which rebuild.Gate, today string) []workshop.MustDo {
	mark := map[rebuild.Gate]string{rebuild.GateRoadTest: "road", rebuild.GateInspection: "inspection", rebuild.GateHandOver: "hand-over"}[which]
	return slices.DeleteFunc(workshop.MustDos(rb, today), func(m workshop.MustDo) bool { return !slices.Contains(m.At, mark) })
}
