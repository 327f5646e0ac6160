package joint

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// plain writes a number in the fewest digits.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// surface finds a surface; an empty key is the one that holds where nothing is
// said.
func (tb Tables) surface(key string) (Surface, error) {
	if key == "" {
		key = DefaultSurface
	}
	var known []string
	for _, s := range tb.Surfaces {
		if strings.EqualFold(s.Key, key) {
			return s, nil
		}
		known = append(known, s.Key)
	}
	return Surface{}, wrong(InSurface, "one of "+strings.Join(known, ", "), "%q is no surface known here", key)
}

// finish finds a published nut factor.
func (tb Tables) finish(key string) (Finish, error) {
	var known []string
	for _, f := range tb.NutFactors {
		if strings.EqualFold(f.Key, key) {
			return f, nil
		}
		known = append(known, f.Key)
	}
	return Finish{}, wrong(InFinish, "one of "+strings.Join(known, ", "), "%q is no finish with a published nut factor", key)
}

// running finds the running torques of lock nuts of a size.
func (tb Tables) running(size string) (Prevailing, bool) {
	i := slices.IndexFunc(tb.Prevailing, func(p Prevailing) bool { return p.Size == size })
	if i < 0 {
		return Prevailing{}, false
	}
	return tb.Prevailing[i], true
}

// method finds a way of tightening.
func (tb Tables) method(key string, angle bool) (Method, error) {
	if key == "" {
		key = DefaultMethod
		if angle {
			key = AngleMethod
		}
	}
	var known []string
	for _, m := range tb.Methods {
		if strings.EqualFold(m.Key, key) {
			return m, nil
		}
		known = append(known, m.Key)
	}
	return Method{}, wrong(InMethod, "one of "+strings.Join(known, ", "), "%q is no way of tightening known here", key)
}

// material finds a material for an input.
func (tb Tables) material(in Input, key string) (Material, error) {
	if key == "" {
		key = DefaultMaterial
	}
	var known []string
	for _, m := range tb.Materials {
		if strings.EqualFold(m.Key, key) {
			return m, nil
		}
		known = append(known, m.Key)
	}
	return Material{}, wrong(in, "one of "+strings.Join(known, ", "), "%q is no material known here", key)
}

// head finds the bearing face of a kind of head on a thread. A size that no
// table has is drawn between its neighbours (fitted: true), one outside the
// table in proportion to the nearest.
func (tb Tables) head(kind string, t Thread) (h Head, fitted bool, err error) {
	if kind == "" {
		kind = DefaultHead
	}
	var rows []Head
	var known []string
	for _, row := range tb.Heads {
		if !slices.Contains(known, row.Kind) {
			known = append(known, row.Kind)
		}
		if strings.EqualFold(row.Kind, kind) && (row.System == t.System || row.SeatDeg > 0) {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 && slices.Contains(known, strings.ToLower(kind)) {
		return Head{}, false, wrong(InHead, "hex, or a friction that was measured", "no table of %s heads for %s threads", kind, t.System)
	}
	if len(rows) == 0 {
		return Head{}, false, wrong(InHead, "one of "+strings.Join(known, ", "), "%q is no kind of head known here", kind)
	}
	slices.SortFunc(rows, func(a, b Head) int { return cmp.Compare(a.DiameterMm, b.DiameterMm) })
	return between(rows, t.DiameterMm)
}

// between reads a head's row at a diameter.
func between(rows []Head, mm float64) (Head, bool, error) {
	i := slices.IndexFunc(rows, func(h Head) bool { return h.DiameterMm >= mm-0.02 })
	if i >= 0 && math.Abs(rows[i].DiameterMm-mm) <= 0.02 {
		return rows[i], false, nil
	}
	if i > 0 {
		low, high := rows[i-1], rows[i]
		part := (mm - low.DiameterMm) / (high.DiameterMm - low.DiameterMm)
		low.BearingMm += part * (high.BearingMm - low.BearingMm)
		low.HoleMm += part * (high.HoleMm - low.HoleMm)
		low.DiameterMm = mm
		return low, true, nil
	}
	near := rows[0]
	if i < 0 {
		near = rows[len(rows)-1]
	}
	scale := mm / near.DiameterMm
	near.BearingMm, near.HoleMm, near.DiameterMm = near.BearingMm*scale, near.HoleMm*scale, mm
	return near, true, nil
}

// MeanMm is the mean diameter at which the head rubs, a conical seat counted by
// its wedging.
//
// ref: VDI_2230 Dkm
func (h Head) MeanMm() float64 {
	mean := (h.BearingMm + h.HoleMm) / 2
	if h.SeatDeg > 0 {
		mean /= math.Sin(h.SeatDeg / 2 * math.Pi / 180)
	}
	return mean
}
