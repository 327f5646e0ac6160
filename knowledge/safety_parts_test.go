package knowledge

import (
	"slices"
	"testing"
)

// TestPartsByTheirWords walks names as people write them: what lives hang on is
// told from what only sounds like it.
func TestPartsByTheirWords(t *testing.T) {
	for _, c := range []struct {
		name string
		want []string
	}{
		{"Front left brake caliper", []string{"brake"}},
		{"caliper FL", []string{"brake"}},
		{"Flexible hose, front right", []string{"brake"}},
		{"Coolant hose, upper", nil},
		{"Front hub", []string{"wheel"}},
		{"Hub caps", nil},
		{"Lower arm", []string{"suspension"}},
		{"Wiper arms", nil},
		{"Tie rods", []string{"steering"}},
		{"Driver's airbag", []string{"restraint"}},
		{"Seat belts", []string{"restraint"}},
		{"Belt, driver", []string{"restraint"}},
		{"Auxiliary drive belt", nil},
		{"Flywheel", nil},
		{"Wheel arch liner", nil},
		{"Spare wheel", nil},
		{"Wheels, all four", []string{"wheel"}},
		{"Steering wheel", []string{"steering"}},
		{"Anti-roll bar drop links", []string{"suspension"}},
		{"Gas struts of the bonnet", nil},
		{"Tailgate strut", nil},
		{"Bumper with brake ducts", nil},
		{"ABS block", []string{"brake"}},
		{"Hub carrier with caliper and tie rod end", []string{"suspension", "brake", "steering"}},
		{"Front bumper", nil},
		{"Pedal goes down slowly", nil}, // names no part
		{"Loom clip on the subframe", nil},
		{"Lead of the wheel speed sensor", nil},
		{"Caliper off its bracket", []string{"brake"}},
		{"Lower ball joint out of the upright", []string{"suspension"}},
		{"Front bolts of the lower arm", []string{"suspension"}},
		{"Left arch liner", nil},
		{"Clip of the level sensor rod", nil},
		{"Steering column shroud", nil},
		{"Brake light", nil},
		{"", nil},
	} {
		if got := PartClasses(c.name); !slices.Equal(got, c.want) {
			t.Errorf("%q: %v, want %v", c.name, got, c.want)
		}
	}
	for _, c := range []struct {
		seen string
		want []string
	}{
		{"The pedal is soft", []string{"brake"}},
		{"Pedal soft and low", []string{"brake"}},
		{"Pulls to the left when braking", []string{"steering", "brake"}},
		{"Crack in the left sill", []string{"structure"}},
		{"Fuel leak at the filter", []string{"fuel"}},
		{"Airbag lamp stays on", []string{"restraint"}},
		{"Sharp edge on the bonnet", nil},
	} {
		if got := FaultClasses(c.seen); !slices.Equal(got, c.want) {
			t.Errorf("%q: %v, want %v", c.seen, got, c.want)
		}
	}
}
