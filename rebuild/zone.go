package rebuild

import "wreckwright/uncertain"

// ZonePlace is a part of the car in which things are found: a fixed list, so
// that pages can draw it and a zone means the same in every rebuild.
type ZonePlace struct{ Key, Name string }

// ZonePlaces lists all zones, front to rear, then those that run through the
// whole car. Left and right are the car's own, as one sits in it. New ones are
// added at the end: a zone's number is its place in this list.
var ZonePlaces = [...]ZonePlace{
	{"front-bumper", "Front bumper"},
	{"bonnet", "Bonnet"},
	{"engine-bay", "Engine bay"},
	{"front-left-wing", "Front left wing"},
	{"front-right-wing", "Front right wing"},
	{"front-left-corner", "Front left wheel and suspension"},
	{"front-right-corner", "Front right wheel and suspension"},
	{"windscreen", "Windscreen and scuttle"},
	{"left-door", "Left door"},
	{"right-door", "Right door"},
	{"cabin", "Cabin"},
	{"roof", "Roof"},
	{"left-sill", "Left sill"},
	{"right-sill", "Right sill"},
	{"rear-left-quarter", "Rear left quarter"},
	{"rear-right-quarter", "Rear right quarter"},
	{"rear-left-corner", "Rear left wheel and suspension"},
	{"rear-right-corner", "Rear right wheel and suspension"},
	{"boot", "Boot and rear panel"},
	{"rear-bumper", "Rear bumper"},
	{"underside", "Underside"},
	{"gearbox-tunnel", "Gearbox and tunnel"},
	{"electrics", "Electrics and control units"},
	{"fluids", "Fluids and hydraulics"},
}

// ZoneName is the zone's name in words, or the key itself where it is unknown.
func ZoneName(key string) string {
	if n := zoneNumber(key); n > 0 {
		return ZonePlaces[n-1].Name
	}
	return key
}

func zoneNumber(key string) int64 {
	for i, p := range ZonePlaces {
		if p.Key == key {
			return int64(i + 1)
		}
	}
	return 0
}

// Zone is how far one zone has been opened and what may still hide in it.
type Zone struct {
	Number int64 `json:"number"` // place in ZonePlaces, from 1
	Rev    int   `json:"rev"`

	// OpenShare is how much of the zone has been stripped and looked at: 0
	// closed, 1 all of it.
	OpenShare float64 `json:"open_share"`
	// HiddenExpected is the number of further faults to be expected in the zone
	// when all of it is still closed; what is left is HiddenExpected times
	// (1 - OpenShare). HiddenCost is the cost of one of them.
	HiddenExpected float64         `json:"hidden_expected"`
	HiddenCost     uncertain.Range `json:"hidden_cost"`
	Note           string          `json:"note"`
}

// Place is the zone's key and name.
func (z Zone) Place() ZonePlace {
	if z.Number < 1 || int(z.Number) > len(ZonePlaces) {
		return ZonePlace{}
	}
	return ZonePlaces[z.Number-1]
}

// HiddenLeft is the number of faults still to be expected.
func (z Zone) HiddenLeft() float64 { return z.HiddenExpected * (1 - z.OpenShare) }

// ItemKind is part of [Item].
func (z Zone) ItemKind() Kind { return KindZone }

// ItemID is part of [Item].
func (z Zone) ItemID() int64 { return z.Number }

// Revision is part of [Item].
func (z Zone) Revision() int { return z.Rev }

// Label is part of [Item].
func (z Zone) Label() string { return z.Place().Name }

// Validate checks the zone by itself.
func (z Zone) Validate() error {
	var c checks
	c.that(z.Number >= 1 && int(z.Number) <= len(ZonePlaces), "zone", "there is no zone %d", z.Number)
	c.that(z.OpenShare >= 0 && z.OpenShare <= 1, "open_share", "how far it is open must be between 0 %% and 100 %%, not %.4g %%", z.OpenShare*100)
	c.that(z.HiddenExpected >= 0 && z.HiddenExpected <= 100, "hidden_expected", "the number of hidden faults to expect must be between 0 and 100, not %.4g", z.HiddenExpected)
	c.rangeOf(z.HiddenCost, "hidden_cost", "the cost of one hidden fault", maxCost)
	c.that(z.HiddenExpected == 0 || z.HiddenCost.High > 0, "hidden_cost", "what may one hidden fault cost? Three figures are needed: low, likely, high")
	c.text(z.Note, "note", "the note", 0, 2000)
	return c.err()
}
