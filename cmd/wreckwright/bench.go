package main

import (
	"fmt"
	"runtime/debug"

	"wreckwright/knowledge"
)

// benchCommand is every instrument.
type benchCommand struct {
	Recharge rechargeCommand `cmd:"" help:"Whether a hydraulic power unit is healthy, from a pressure log or pump times."`
	Listen   listenCommand   `cmd:"" help:"Every run of a pump in a recording made beside the car."`
	Noise    noiseCommand    `cmd:"" help:"Which rotating part makes a hum, from a recording and the speed of the wheel."`
	Joint    jointCommand    `cmd:"" help:"What tightening does to a bolted joint, from its thread and a torque."`
	Check    checkCommand    `cmd:"" help:"Whether a measured value lies within its limits, and how sure that is."`
	Codes    codesCommand    `cmd:"" help:"Fault codes by their structure, live values out of raw bytes, readiness for an inspection."`
	Bond     bondCommand     `cmd:"" help:"Whether a bonded strap, patch or splint carries its load, from a case file or flags."`
	Survey   surveyCommand   `cmd:"" help:"What has moved on a body, from distances between its points."`
	Angles   anglesCommand   `cmd:"" help:"Where the wheels point: toe, camber, caster, thrust, what to turn and what looks bent."`
}

// beforeMeasuring is told before anybody goes to the car.
const beforeMeasuring = "Before measuring: the unit holds pressure with the ignition off. Listening, timing and reading a gauge that is fitted need nothing opened. " +
	"Before anything is loosened let the pressure down by the maker's procedure, which stands above all that is said here; never open a charged accumulator."

// thrifty has garbage collected sooner while millions of readings are worked
// through: they stand in few large columns, which cost little to look over. It
// gives what ends that.
func thrifty() (end func()) {
	was := debug.SetGCPercent(30)
	return func() { debug.SetGCPercent(was) }
}

// unitCautions are what must stand where a hydraulic unit is measured.
func unitCautions() []string {
	var list []string
	for _, hazard := range []string{"stored-gas", "fluid-injection"} {
		if c, ok := knowledge.CautionFor(hazard); ok {
			list = append(list, fmt.Sprintf("%s: %s %s", c.Name, c.Text, c.DeferTo))
		}
	}
	return list
}

// countOf is a number with what it counts.
func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
