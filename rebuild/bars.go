package rebuild

// SafetyClass is what a job touches that people's lives hang on.
type SafetyClass string

// The safety classes.
const (
	SafetyNone       SafetyClass = "none"
	SafetyBrake      SafetyClass = "brake"
	SafetySteering   SafetyClass = "steering"
	SafetySuspension SafetyClass = "suspension"
	SafetyRestraint  SafetyClass = "restraint" // airbags, belts, pretensioners, seats' anchorages
	SafetyStructure  SafetyClass = "structure" // the load-bearing shell
	SafetyFuel       SafetyClass = "fuel"
)

// SafetyClasses lists them.
var SafetyClasses = []SafetyClass{SafetyNone, SafetyBrake, SafetySteering, SafetySuspension, SafetyRestraint, SafetyStructure, SafetyFuel}

// Critical reports whether lives hang on the job.
func (s SafetyClass) Critical() bool { return s != SafetyNone }

// Bar is a reason why a route must not be used on a job.
type Bar struct {
	Reason string
	Source string // key in knowledge/sources.yaml
}

// barRule bars routes that match it. An empty field matches everything.
type barRule struct {
	classes []SafetyClass
	kind    RouteKind
	method  Method
	reason  string
}

// barRules are rules of the trade: makers' procedures forbid these almost
// without exception, and where one allows it (a maker's own bonded structural
// joint, say) the job is not a plain bonded repair but the maker's procedure,
// entered as method "plain" with the procedure as its basis.
//
// ref: TRADE_SAFETY_BARS whole list
var barRules = []barRule{
	{[]SafetyClass{SafetyBrake, SafetySteering, SafetySuspension, SafetyRestraint, SafetyStructure, SafetyFuel}, "", MethodBonded, "a bonded repair must not carry a brake, steering, suspension, restraint, structural or fuel part: it can let go without warning"},
	{[]SafetyClass{SafetyBrake, SafetySteering, SafetySuspension, SafetyRestraint}, "", MethodStraighten, "a bent brake, steering, suspension or restraint part is not straightened: it may crack later"},
	{[]SafetyClass{SafetyBrake, SafetySteering, SafetyRestraint}, "", MethodWelded, "brake, steering and restraint parts are not welded: heat changes their strength"},
	{[]SafetyClass{SafetyRestraint}, Used, "", "a used airbag, belt or pretensioner must not be fitted: nobody can prove its history"},
	{[]SafetyClass{SafetyRestraint}, Repair, "", "airbags, belts and pretensioners are renewed, not repaired"},
	{[]SafetyClass{SafetyRestraint}, Recondition, "", "airbags, belts and pretensioners are renewed, not reconditioned"},
	{[]SafetyClass{SafetyBrake, SafetySteering, SafetySuspension, SafetyRestraint, SafetyStructure, SafetyFuel}, Leave, "", "a fault on a safety-critical part cannot be left: the car must not be driven with it"},
}

// Bars lists the reasons why the route must not be used on a job of that class;
// none when it may.
func Bars(class SafetyClass, r Route) []Bar {
	var bars []Bar
	for _, rule := range barRules {
		if rule.matches(class, r) {
			bars = append(bars, Bar{rule.reason, "TRADE_SAFETY_BARS"})
		}
	}
	return bars
}

func (b barRule) matches(class SafetyClass, r Route) bool {
	if b.kind != "" && b.kind != r.Kind || b.method != "" && b.method != r.Method {
		return false
	}
	for _, c := range b.classes {
		if c == class {
			return true
		}
	}
	return false
}
