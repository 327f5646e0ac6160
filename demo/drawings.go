package demo

import "fmt"

// drawings are what can be drawn, by name. Each function draws one thing.
var drawings = map[string]func(*sketch, string){
	"airbag-lamp": drawAirbagLamp, "arm": drawArm, "beam": drawBeam, "belt": drawBelt, "bumper": drawBumper,
	"chip": drawChip, "connector": drawConnector, "damper": drawDamper, "disc": drawDisc, "door-gap": drawDoorGap,
	"gauge": drawGauge, "hose": drawHose, "lamp-bracket": drawLampBracket, "meter": drawMeter, "pump": drawPump,
	"radiator": drawRadiator, "seat": drawSeat, "stopwatch": drawStopwatch, "tape": drawTape, "tyre": drawTyre,
	"undertray": drawUndertray, "upright": drawUpright, "wheel": drawWheel, "wing": drawWing,
}

// drawingOf draws a picture.
func drawingOf(p picture) ([]byte, error) {
	draw := drawings[p.Draw]
	if draw == nil {
		return nil, fmt.Errorf("there is no drawing %q", p.Draw)
	}
	s := newSketch(p.Draw + p.Text + p.Caption)
	draw(s, p.Text)
	return s.svg(p.Caption, 480, 360), nil
}
