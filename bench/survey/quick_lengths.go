package survey

import (
	"fmt"
	"math"
	"strings"
)

// quickLengths are the lines with the mean of their readings.
func quickLengths(c QuickCase) (map[QuickLine]quickLength, error) {
	if !goodSD(c.SDMm) {
		return nil, mistake(InQuick, 0, fmt.Sprintf("sd %g mm", c.SDMm), expectedSD())
	}
	if !(c.ToleranceMm > 0) || c.ToleranceMm > 1000 {
		return nil, mistake(InTolerance, 0, fmt.Sprintf("a tolerance of %g mm", c.ToleranceMm), "above 0 and at most 1000 mm")
	}
	first := map[QuickLine]QuickReading{}
	of := map[QuickLine]quickLength{}
	for _, r := range c.Readings {
		if err := soundQuick(r, first, c.SDMm); err != nil {
			return nil, err
		}
		l := of[r.Line]
		if l.times == 0 {
			first[r.Line], l.row = r, r.Row
		}
		l.mm = (l.mm*float64(l.times) + r.Mm) / float64(l.times+1)
		l.times++
		l.sd = c.SDMm / math.Sqrt(float64(l.times))
		if r.MakerMm > 0 {
			l.maker = r.MakerMm
		}
		of[r.Line] = l
	}
	for _, line := range QuickLines {
		if of[line].times == 0 && line != SideLeft && line != SideRight {
			return nil, mistake(InQuick, 0, line.Words()+" is not measured", "both diagonals and the three crosses")
		}
	}
	if left, right := of[SideLeft], of[SideRight]; left.times == 0 != (right.times == 0) {
		return nil, mistake(InQuick, left.row+right.row, "one side is measured, the other is not", "both sides or neither")
	}
	return of, nil
}

func soundQuick(r QuickReading, first map[QuickLine]QuickReading, sd float64) error {
	words := r.Line.Words()
	switch f, again := first[r.Line]; {
	case words == "":
		return mistake(InQuick, r.Row, fmt.Sprintf("%q is no line of this check", r.Line), "one of "+quickList())
	case !(r.Mm > 0) || r.Mm > longestMm:
		return mistake(InQuick, r.Row, fmt.Sprintf("%s: %g mm", words, r.Mm), fmt.Sprintf("above 0 and at most %g mm", longestMm))
	case r.MakerMm < 0 || r.MakerMm > longestMm || math.IsNaN(r.MakerMm):
		return mistake(InQuick, r.Row, fmt.Sprintf("%s: %g mm given by the maker", words, r.MakerMm), fmt.Sprintf("above 0 and at most %g mm, or nothing", longestMm))
	case again && math.Abs(f.Mm-r.Mm) > RepeatSDs*math.Sqrt2*sd:
		return mistake(InQuick, r.Row, fmt.Sprintf("%s: %g mm here, %g mm before", words, r.Mm, f.Mm), fmt.Sprintf("readings of one line within %.3g mm; measure it again", RepeatSDs*math.Sqrt2*sd))
	case again && f.MakerMm > 0 && r.MakerMm > 0 && f.MakerMm != r.MakerMm:
		return mistake(InQuick, r.Row, fmt.Sprintf("%s: the maker gives %g mm here, %g mm before", words, r.MakerMm, f.MakerMm), "one figure for each line")
	}
	return nil
}

func quickList() string {
	var list []string
	for _, l := range QuickLines {
		list = append(list, string(l))
	}
	return strings.Join(list, ", ")
}

// possible looks for lengths that no four corners have.
func (q *quick) possible() error {
	slack := max(triangleMm, triangleSDs*2*q.c.SDMm)
	dl, dr, a, b := q.of[DiagonalFromLeft], q.of[DiagonalFromRight], q.of[CrossFront], q.of[CrossRear]
	if dl.mm+dr.mm+slack < a.mm+b.mm {
		return mistake(InQuick, dl.row, fmt.Sprintf("the diagonals are %g + %g mm, shorter than the crosses at both ends: %g + %g mm", dl.mm, dr.mm, a.mm, b.mm), "diagonals that are longer together than those crosses; a line is misread or in the wrong place")
	}
	if !q.has(SideLeft, SideRight) {
		return nil
	}
	for _, t := range [][3]QuickLine{
		{DiagonalFromLeft, CrossFront, SideRight},
		{DiagonalFromLeft, SideLeft, CrossRear},
		{DiagonalFromRight, CrossFront, SideLeft},
		{DiagonalFromRight, SideRight, CrossRear},
	} {
		for k := range t {
			long, x, y := q.of[t[k]], q.of[t[(k+1)%3]], q.of[t[(k+2)%3]]
			if long.mm > x.mm+y.mm+slack {
				return mistake(InQuick, long.row, fmt.Sprintf("%s is %g mm, longer than %s and %s together: %g + %g mm", t[k].Words(), long.mm, t[(k+1)%3].Words(), t[(k+2)%3].Words(), x.mm, y.mm),
					"no side of a triangle longer than the other two together; one of the three is misread")
			}
		}
	}
	return nil
}
