package knowledge

import (
	"slices"
	"strings"
	"testing"
)

// Invented findings and the items that they say something is wrong with; none
// where it is not clear which is meant.
func TestAFindingTellsItsItemAndNoOther(t *testing.T) {
	for _, c := range []struct{ name, zone, items string }{
		{"Airbag lamp stays on", "electrics", "airbags warning-lamps"},
		{"Airbag warning lamp on", "cabin", "airbags warning-lamps"},
		{"ABS lamp on", "electrics", "warning-lamps"},
		{"Wheel speed, no signal", "front-left-corner", ""},
		{"Wheel speed sensor lead cut", "front-left-corner", ""},
		{"Tripod of the driveshaft, no legs", "underside", "wheel-bearings"},
		{"Kerb rash on three wheels", "front-right-corner", "left-wheels right-wheels"},
		{"Kerb rash on one wheel", "front-right-corner", "right-wheels"},
		{"All wheel nuts loose", "front-left-corner", "left-wheels"},
		{"All four tyres perished", "rear-left-corner", "left-tyres right-tyres"},
		{"Four tyres perished", "rear-left-corner", "left-tyres right-tyres"},
		{"Cut in the side wall of the tyre", "rear-left-corner", "left-tyres"},
		{"Brake hose front left chafed", "front-left-corner", "brake-lines"},
		{"Brake pedal goes to the floor, no brakes", "cabin", "brake-pedal service-brake"},
		{"Brakes weak on the second stop", "fluids", "service-brake"},
		{"Pulls under braking", "front-left-corner", "brake-balance"},
		{"Brake disc cracked", "front-right-corner", "discs-and-pads"},
		{"Brake light out on the left", "rear-left-quarter", "rear-lamps"},
		{"Handbrake does not hold", "cabin", "parking-brake"},
		{"Handbrake lever jumps out", "cabin", "parking-brake-lever"},
		{"Brake fluid black", "fluids", "brake-fluid"},
		{"Steering column joint loose", "cabin", "steering-joints steering-play"},
		{"Left track rod bent", "front-left-corner", "steering-joints"},
		{"Steering wheel leather worn", "cabin", ""},
		{"Pulls to the left", "front-left-corner", ""},
		{"Lower arm bent", "front-left-corner", "suspension"},
		{"Wiper arm bent", "windscreen", "view"},
		{"Stone chip before the driver", "windscreen", "view"},
		{"Stone chip", "bonnet", ""},
		{"Headlamp lens broken", "front-bumper", "front-lamps"},
		{"Headlamp aim cannot be set", "electrics", "headlamp-aim"},
		{"A lamp flickers", "electrics", ""},
		{"Tail lamp dead", "electrics", "rear-lamps"},
		{"Boot light dead", "boot", ""},
		{"Bonnet catch does not lock", "bonnet", "front-body"},
		{"Left door does not lock", "left-door", "left-doors"},
		{"Door mirror glass gone", "left-door", "view"},
		{"Left sill cracked through", "left-sill", "structure"},
		{"Floor mat wet", "cabin", ""},
		{"No leak to be seen", "engine-bay", ""},
		{"Radiator drips", "engine-bay", "bonnet-leaks"},
		{"No horn", "front-bumper", "horn"},
		{"Exhaust hanger broken", "underside", "fuel-and-exhaust"},
		{"Seat belt frayed", "cabin", "belts"},
		{"Timing belt cover cracked", "engine-bay", ""},
		{"Wheel arch liner torn", "front-left-corner", ""},
		{"Hums from the wheel bearing", "rear-left-corner", "wheel-bearings"},
		{"Something is loose", "front-left-corner", ""},
	} {
		var told []string
		for _, it := range InspectionItems() {
			if it.About.Tells(NameOf(c.name, c.zone, nil)) {
				told = append(told, it.Key)
			}
		}
		slices.Sort(told)
		if got := strings.Join(told, " "); got != c.items {
			t.Errorf("%q in %s tells %q, want %q", c.name, c.zone, got, c.items)
		}
	}
}
