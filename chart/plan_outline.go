package chart

import "strings"

// planShape is where a zone lies in the plan view: seen from above, front at the top, the car's left on the left.
type planShape struct {
	data   string // closed path
	name   box    // room for words
	upward bool   // words read from bottom to top
	badge  point  // place of the count
	under  bool   // lies beneath another panel, drawn dashed
}

// The car is 220 units wide with its middle at 110; the boxes of zones that have no place in a plan stand right of it.
const (
	planWidth  = 320.0
	carMiddle  = 110.0
	carBottom  = 456.0
	planBoxX   = 230.0
	planBoxW   = 86.0
	planBoxH   = 66.0
	planBoxGap = 12.0
	planBoxTop = 78.0
)

// midShapes are the zones along the middle line.
var midShapes = map[string]planShape{
	"front-bumper": {
		data: "M44 55 C50 22 76 8 110 8 C144 8 170 22 176 55 C150 45 70 45 44 55 Z",
		name: box{64, 14, 136, 44}, badge: point{146, 36},
	},
	"bonnet": {
		data: "M74 53 C92 49 128 49 146 53 L141 161 C130 155 90 155 79 161 Z",
		name: box{76, 54, 144, 76}, badge: point{110, 84},
	},
	"engine-bay": {
		data: "M88 99 L132 99 C135 99 136 100 136 103 L135 145 C135 148 134 149 131 149 L89 149 C86 149 85 148 85 145 L84 103 C84 100 85 99 88 99 Z",
		name: box{86, 102, 134, 122}, badge: point{110, 134}, under: true,
	},
	"windscreen": {
		data: "M79 165 C94 158 126 158 141 165 L152 206 C130 197 90 197 68 206 Z",
		name: box{76, 164, 144, 181}, badge: point{134, 190},
	},
	"roof": {
		data: "M69 210 C90 201 130 201 151 210 L147 304 C130 310 90 310 73 304 Z",
		name: box{74, 208, 122, 232}, badge: point{133, 222},
	},
	"cabin": {
		data: "M88 240 L132 240 C135 240 136 241 136 244 L136 290 C136 293 135 294 132 294 L88 294 C85 294 84 293 84 290 L84 244 C84 241 85 240 88 240 Z",
		name: box{86, 243, 134, 263}, badge: point{110, 277}, under: true,
	},
	"boot": {
		data: "M73 309 C90 315 130 315 147 309 L141 405 C130 411 90 411 79 405 Z",
		name: box{80, 346, 140, 372}, badge: point{110, 388},
	},
	"rear-bumper": {
		data: "M44 412 C56 417 70 412 80 410 C100 416 120 416 140 410 C150 412 164 417 176 412 C174 437 160 448 140 450 C120 452 100 452 80 450 C60 448 46 437 44 412 Z",
		name: box{64, 416, 136, 446}, badge: point{149, 430},
	},
}

// leftShapes are the zones of the car's left; the right ones are their mirror images.
var leftShapes = map[string]planShape{
	"front-left-wing": {
		data: "M42 59 L71 54 L76 162 L65 177 L42 177 Z",
		name: box{44, 84, 72, 174}, upward: true, badge: point{57, 72},
	},
	"front-left-corner": {
		data: "M14 72 L39 70 L39 154 L14 154 C7 154 4 149 4 142 L4 86 C4 78 7 73 14 72 Z",
		name: box{5, 98, 38, 152}, upward: true, badge: point{21, 85},
	},
	"left-door": {
		data: "M36 181 L64 181 C65 196 66 206 66 212 L69 302 L36 306 Z",
		name: box{37, 208, 65, 302}, upward: true, badge: point{51, 195},
	},
	"left-sill": {
		data: "M7 176 C16 174 25 178 33 181 L33 306 C25 308 16 311 7 312 C4 280 4 210 7 176 Z",
		name: box{5, 208, 32, 302}, upward: true, badge: point{19, 195},
	},
	"rear-left-quarter": {
		data: "M36 310 L69 306 L76 404 C70 408 60 412 42 408 L42 326 Z",
		name: box{43, 344, 71, 406}, upward: true, badge: point{57, 328},
	},
	"rear-left-corner": {
		data: "M14 322 L39 328 L39 408 L14 406 C7 405 4 400 4 393 L4 336 C4 328 7 322 14 322 Z",
		name: box{5, 356, 38, 404}, upward: true, badge: point{21, 342},
	},
}

// boxZones have no place in a plan view.
var boxZones = []string{"underside", "gearbox-tunnel", "electrics", "fluids"}

// planDetails are strokes that make the outline a car: lamps, mirrors, rear window.
var planDetails = []string{
	"M50 46 C55 44 62 37 65 28 C59 31 53 38 50 46 Z",
	"M170 46 C165 44 158 37 155 28 C161 31 167 38 170 46 Z",
	"M64 187 C57 182 49 179 42 185",
	"M156 187 C163 182 171 179 178 185",
	"M78 334 C95 340 125 340 142 334",
	"M47 419 C49 427 52 433 57 439",
	"M173 419 C171 427 168 433 163 439",
}

// planShapeOf finds the shape of a zone; right-hand zones are mirrored left-hand ones.
func planShapeOf(key string) (planShape, bool) {
	if s, ok := midShapes[key]; ok {
		return s, true
	}
	if s, ok := leftShapes[key]; ok {
		return s, true
	}
	if s, ok := leftShapes[strings.Replace(key, "right", "left", 1)]; ok && strings.Contains(key, "right") {
		return s.mirrored(), true
	}
	return planShape{}, false
}

func (s planShape) mirrored() planShape {
	s.data = mirrorPath(s.data)
	s.name.x0, s.name.x1 = 2*carMiddle-s.name.x1, 2*carMiddle-s.name.x0
	s.badge.x = 2*carMiddle - s.badge.x
	return s
}

// mirrorPath mirrors path data at the middle of the car: of every pair of numbers the first one.
func mirrorPath(data string) string {
	fields := strings.Fields(data)
	for i := 0; i < len(fields); i += 2 {
		command := strings.TrimRight(fields[i], "0123456789.-")
		if command == "Z" {
			break
		}
		p := pathPoints(fields[i] + " 0")
		fields[i] = command + num(2*carMiddle-p[0].x)
	}
	return strings.Join(fields, " ")
}

// planBox is the shape of the n-th box beside the car.
func planBox(n int) planShape {
	y := planBoxTop + float64(n)*(planBoxH+planBoxGap)
	x1, y1 := planBoxX+planBoxW, y+planBoxH
	return planShape{
		data:  "M" + num(planBoxX) + " " + num(y) + " L" + num(x1) + " " + num(y) + " L" + num(x1) + " " + num(y1) + " L" + num(planBoxX) + " " + num(y1) + " Z",
		name:  box{planBoxX + 3, y + 4, x1 - 3, y + 40},
		badge: point{(planBoxX + x1) / 2, y + 53},
	}
}
