package demo

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"hash/fnv"
	"image"
	"image/color"
	"image/png"
	"io/fs"
	"slices"
)

// drawings are what can be drawn, by name. Each function draws one thing.
var drawings = map[string]func(*sketch, string){
	"airbag-lamp": drawAirbagLamp, "arm": drawArm, "beam": drawBeam, "belt": drawBelt, "bumper": drawBumper,
	"chip": drawChip, "connector": drawConnector, "damper": drawDamper, "disc": drawDisc, "door-gap": drawDoorGap,
	"gauge": drawGauge, "hose": drawHose, "lamp-bracket": drawLampBracket, "meter": drawMeter, "pump": drawPump,
	"radiator": drawRadiator, "seat": drawSeat, "stopwatch": drawStopwatch, "tape": drawTape, "tyre": drawTyre,
	"undertray": drawUndertray, "upright": drawUpright, "wheel": drawWheel, "wing": drawWing,
}

// drawingOf is a picture as PNG: the one that lies ready in content/pictures, or
// else drawn now, which takes some hundredths of a second.
func drawingOf(p picture) ([]byte, error) {
	ready, err := content.ReadFile("content/pictures/" + p.fileName())
	if err == nil {
		return ready, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return p.drawn()
}

// fileName tells apart pictures that differ in anything that is drawn or said of
// them.
func (p picture) fileName() string {
	h := fnv.New32a()
	_, _ = h.Write([]byte(p.Draw + "\x00" + p.Text + "\x00" + p.Caption))
	return fmt.Sprintf("%s-%08x.png", p.Draw, h.Sum32())
}

// The paper of a picture, in units, and how many pixels one is.
const (
	pictureWidth, pictureHeight = 480, 360
	pictureScale                = 5.0 / 3
)

// drawn draws the picture.
func (p picture) drawn() ([]byte, error) {
	do := drawings[p.Draw]
	if do == nil {
		return nil, fmt.Errorf("there is no drawing %q", p.Draw)
	}
	s := newSketch(p.Draw + p.Text + p.Caption)
	do(s, p.Text)
	painted, err := s.paint(pictureWidth, pictureHeight, pictureScale)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, fewColours(painted))
	return out.Bytes(), err
}

// mostColours is how many colours a picture has.
const mostColours = 48

// fewColours keeps the colours that are used most - of the thousands there are
// only along the edges - which makes a quarter of the file.
func fewColours(from *image.RGBA) *image.Paletted {
	uses := map[color.RGBA]int{}
	for i := 0; i < len(from.Pix); i += 4 {
		uses[color.RGBA{from.Pix[i], from.Pix[i+1], from.Pix[i+2], 255}]++
	}
	var all []color.RGBA
	for c := range uses {
		all = append(all, c)
	}
	slices.SortFunc(all, func(a, b color.RGBA) int {
		return cmp.Or(uses[b]-uses[a], cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	to := image.NewPaletted(from.Rect, nil)
	for _, c := range all[:min(len(all), mostColours)] {
		to.Palette = append(to.Palette, c)
	}
	place := map[color.RGBA]uint8{}
	for _, c := range all {
		place[c] = uint8(to.Palette.Index(c))
	}
	for i := range to.Pix {
		to.Pix[i] = place[color.RGBA{from.Pix[4*i], from.Pix[4*i+1], from.Pix[4*i+2], 255}]
	}
	return to
}
