package web

import (
	"fmt"
	"math"
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/workshop"
)

// adjustWords says what to turn, which way and how far, as one would call it
// across the workshop.
func adjustWords(a angles.Adjustment, show string) adjustSaid {
	s := adjustSaid{Where: capital(workshop.CornerWords(a.Wheel)), Estimate: a.Estimate}
	what, sense, _ := strings.Cut(a.What, ", positive ")
	way := func(plus, minus string) string {
		if a.By < 0 {
			return minus
		}
		return plus
	}
	size := math.Abs(a.By)
	switch {
	case what == "tie rod" && strings.HasPrefix(sense, "makes it longer"):
		s.Do = "Track rod " + turnsWords(size) + " " + way("longer", "shorter")
	case what == "tie rod":
		s.Do = "Track rod " + turnsWords(size) + " " + way("towards toe-in", "towards toe-out")
	case what == "spring platform":
		s.Do = "Spring platform " + turnsWords(size) + " " + way("up", "down")
	case what == "toe":
		s.Do = "Toe: front of the wheel " + saidAngle(size, show) + " further " + way("in", "out")
	case what == "camber":
		s.Do = "Camber: top of the wheel " + saidAngle(size, show) + " further " + way("out", "in")
	case what == "caster":
		s.Do = "Caster: lean the steering axis " + saidAngle(size, show) + " further " + way("back", "forward")
	case what == "strut top" && strings.HasPrefix(sense, "outwards"):
		s.Do = fmt.Sprintf("That is the strut top %.1f mm %s", size, way("outwards", "inwards"))
	case what == "strut top":
		s.Do = fmt.Sprintf("That is the strut top %.1f mm %s", size, way("to the rear", "to the front"))
	case what == "shim":
		s.Do = fmt.Sprintf("That is a shim of %.1f mm, set so that it leans the top %s", size, way("out", "in"))
	default:
		s.Do = fmt.Sprintf("%s: %+.2f %s", capital(a.What), a.By, a.Unit)
	}
	switch {
	case what == "tie rod":
		s.Exact = fmt.Sprintf("%.2f turns, %s", size, flatsWords(size))
	case a.Unit == "turns":
		s.Exact = fmt.Sprintf("%.2f turns", size)
	}
	if a.ToeChangeDeg != nil {
		s.Beside = "moves toe by " + saidAngle(*a.ToeChangeDeg, show) + ", which the toe below allows for"
	}
	return s
}

// turnsWords says turns in quarters, as a spanner is moved: "1 1/4 turns".
func turnsWords(turns float64) string {
	quarters := int(math.Round(turns * 4))
	whole, part := quarters/4, []string{"", "1/4", "1/2", "3/4"}[quarters%4]
	switch {
	case quarters == 0:
		return "a touch (" + fmt.Sprintf("%.0f°", turns*360) + ")"
	case whole == 0:
		return part + " turn"
	case part == "" && whole == 1:
		return "1 turn"
	case part == "":
		return fmt.Sprintf("%d turns", whole)
	}
	return fmt.Sprintf("%d %s turns", whole, part)
}

// flatsWords says turns in flats of a hexagon, to half a flat.
func flatsWords(turns float64) string {
	halves := int(math.Round(turns * 12))
	text := fmt.Sprintf("%d", halves/2)
	if halves%2 == 1 {
		text = strings.TrimPrefix(text+"½", "0")
	}
	if halves <= 2 {
		return text + " flat of a hexagon"
	}
	return text + " flats of a hexagon"
}
