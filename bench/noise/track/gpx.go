package track

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// place is a point of a GPX track.
type place struct {
	line     int
	lat, lon float64
	at       time.Time
	speed    *float64 // as the receiver wrote it, m/s
}

// readGPX reads the points of all tracks, in the order of the file.
func readGPX(data []byte) (Track, error) {
	in := xml.NewDecoder(bytes.NewReader(data))
	in.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil } // only ASCII is looked at
	var places []place
	left := 0
	for {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		line, _ := in.InputPos()
		if err != nil {
			return Track{}, wrong(line, "a whole GPX file", "the XML is broken")
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "trkpt" {
			continue
		}
		p, err := readPlace(in, start, line)
		if err != nil {
			return Track{}, err
		}
		if p.at.IsZero() {
			left++
			continue
		}
		places = append(places, p)
	}
	var notes []string
	if left > 0 {
		notes = append(notes, fmt.Sprintf("%d points without a time were left out.", left))
	}
	if len(places) < 2 {
		return Track{}, wrong(0, "a GPX track whose points have times", "%d points (trkpt) with a time", len(places))
	}
	return build("GPX", speedsOf(places, &notes), places[0].at, notes)
}

// readPlace reads one trkpt to its end; speed may stand in it or in its
// extensions, whatever their name space.
//
// ref: GPX_1_1 trkpt
func readPlace(in *xml.Decoder, start xml.StartElement, line int) (place, error) {
	p := place{line: line}
	for _, a := range start.Attr {
		v, err := strconv.ParseFloat(a.Value, 64)
		switch a.Name.Local {
		case "lat":
			if p.lat = v; err != nil || !(math.Abs(v) <= 90) {
				return p, wrong(line, "-90 to 90 degrees", "lat=%q", a.Value)
			}
		case "lon":
			if p.lon = v; err != nil || !(math.Abs(v) <= 180) {
				return p, wrong(line, "-180 to 180 degrees", "lon=%q", a.Value)
			}
		}
	}
	name := ""
	for depth := 1; depth > 0; {
		token, err := in.Token()
		if err != nil {
			at, _ := in.InputPos()
			return p, wrong(at, "a whole GPX file", "the file ends or breaks within a point")
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			name = t.Name.Local
		case xml.EndElement:
			depth--
			name = ""
		case xml.CharData:
			if err := p.take(name, strings.TrimSpace(string(t)), in); err != nil {
				return p, err
			}
		}
	}
	return p, nil
}

func (p *place) take(name, text string, in *xml.Decoder) error {
	line, _ := in.InputPos()
	switch {
	case text == "":
	case name == "time":
		at, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			return wrong(line, "a time such as 2026-03-01T14:03:22Z", "%q", text)
		}
		p.at = at
	case name == "speed":
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return wrong(line, "a speed in metres a second", "%q", text)
		}
		p.speed = &v
	}
	return nil
}

// speedsOf takes the receiver's own speeds where every point has one, else works
// them out of the way between the neighbours.
func speedsOf(places []place, notes *[]string) []raw {
	own := true
	for _, p := range places {
		own = own && p.speed != nil
	}
	if !own {
		*notes = append(*notes, "The file holds no speeds: worked out of places and times, which is less sure.")
	}
	first := places[0].at
	list := make([]raw, len(places))
	for i, p := range places {
		list[i] = raw{line: p.line, atS: p.at.Sub(first).Seconds()}
		if own {
			list[i].speedMS = *p.speed
			continue
		}
		a, b := max(i-1, 0), min(i+1, len(places)-1)
		if took := places[b].at.Sub(places[a].at).Seconds(); took > 0 {
			list[i].speedMS = way(places[a:b+1]) / took
		}
	}
	return list
}

func way(places []place) float64 {
	sum := 0.0
	for i := 1; i < len(places); i++ {
		sum += distanceM(places[i-1], places[i])
	}
	return sum
}

// earthM is the mean radius of the Earth.
//
// ref: GRS_80 mean radius R1
const earthM = 6371008.7714

// distanceM is the way along a great circle, by the haversine, which stays exact
// for points that lie near each other.
func distanceM(a, b place) float64 {
	const deg = math.Pi / 180
	s := func(x float64) float64 { y := math.Sin(x / 2); return y * y }
	h := s((b.lat-a.lat)*deg) + math.Cos(a.lat*deg)*math.Cos(b.lat*deg)*s((b.lon-a.lon)*deg)
	return 2 * earthM * math.Asin(math.Sqrt(math.Min(1, h)))
}
