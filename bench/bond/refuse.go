package bond

import "strings"

// forbidden are words for things on which somebody's safety hangs; an s may
// follow.
//
// ref: DESIGN_BOND what is refused
var forbidden = []string{
	"brake", "braking", "caliper", "steering", "tie rod", "track rod", "suspension", "wishbone", "control arm", "upright", "hub", "knuckle", "wheel", "axle",
	"driveshaft", "propshaft", "seat", "belt", "seatbelt", "airbag", "restraint", "fuel", "tank", "cage", "roll bar", "chassis", "subframe", "frame", "crash",
	"bumper beam", "pillar", "sill", "towing", "tow bar", "tow hook", "jack", "jacking", "lifting", "accumulator", "pressure", "spring", "damper", "strut",
	"windscreen", "windshield", "engine mount", "gearbox mount", "pedal", "throttle", "exhaust", "door hinge", "hinge", "bonnet catch", "latch",
	"handbrake", "footbrake", "drive shaft", "prop shaft", "propeller shaft", "half shaft", "halfshaft", "rollcage", "rollbar", "roll hoop", "crossmember", "cross member",
	"ball joint", "balljoint", "trailing arm", "swing arm", "drop link", "steering rack", "flywheel", "harness", "structural", "load bearing", "battery", "petrol", "gasoline",
}

// harmless are parts that only sound like one of them.
var harmless = []string{
	"wheel arch", "wheel trim", "seat trim", "belt trim", "sill trim", "pillar trim", "tank cover", "jack cover", "tow cover", "hub cap", "strut cover",
	"fuel flap", "steering column trim", "hinge cover", "pressure sensor bracket", "number plate frame",
	"wiring harness", "battery cover",
}

// refuse says why a case is not reckoned; nil where it may be.
func (c Case) refuse() error {
	if c.SafetyCritical {
		what := strings.TrimSpace(c.Holds)
		if what == "" {
			what = "it"
		}
		return &Refusal{"somebody's safety hangs on " + what}
	}
	// "tie-rod" and "tie  rod" are a tie rod.
	text := strings.Join(strings.Fields(strings.NewReplacer("-", " ", "\u2010", " ", "\u2011", " ", "\u2013", " ", "_", " ").Replace(strings.ToLower(c.Holds))), " ")
	for _, h := range harmless {
		text = strings.ReplaceAll(text, h, "")
	}
	for _, word := range forbidden {
		if names(text, word) {
			return &Refusal{"\"" + strings.TrimSpace(c.Holds) + "\" names a part on which somebody's safety hangs (" + word + ")"}
		}
	}
	return nil
}

// names reports whether a text has a word of its own, or its plural.
func names(text, word string) bool {
	for i := 0; ; {
		at := strings.Index(text[i:], word)
		if at < 0 {
			return false
		}
		at += i
		rest := strings.TrimPrefix(text[at+len(word):], "s")
		if (at == 0 || !letter(text[at-1])) && (rest == "" || !letter(rest[0])) {
			return true
		}
		i = at + 1
	}
}

func letter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 0x80 }
