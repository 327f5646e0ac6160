package report

import (
	"bytes"
	"encoding/json"
	"fmt"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// checkJoints works the preloads of the tightenings out again from the threads,
// torques and lubricants in the data, and holds them to those that were kept.
func (c *checking) checkJoints(r *rebuild.Rebuild) (err error) {
	defer func() { // as with the measurements: a fault on data from outside ends nothing
		if fault := recover(); fault != nil {
			c.differ("the preloads of the joints: a fault of the program while they were worked out again: %v", fault)
		}
	}()
	if c.files[buildfile.JointsName] == nil {
		if n := len(workshop.ReckonedTightenings(r)); n > 0 {
			c.out.NotAgain = append(c.out.NotAgain, fmt.Sprintf("the preloads of %d tightenings: an older program made this file and kept none", n))
		}
		return nil
	}
	text, err := c.read(buildfile.JointsName)
	if err != nil {
		return err
	}
	kept, err := decodeJoints(text)
	if err != nil {
		c.differ("%s cannot be read: %v", buildfile.JointsName, err)
		return nil
	}
	now := workshop.ReckonedTightenings(r)
	if len(kept) != len(now) {
		c.differ("%s speaks of %d tightenings; the data hold %d", buildfile.JointsName, len(kept), len(now))
		return nil
	}
	for i := range now {
		c.compareJoint(kept[i], now[i])
	}
	return nil
}

func (c *checking) compareJoint(kept, now workshop.ReckonedTightening) {
	if kept.Joint != now.Joint || kept.Number != now.Number {
		c.differ("the preload kept of %s stands where that of %s does", kept.Name(), now.Name())
		return
	}
	differs := buildfile.Compare(kept.Result, now.Result)
	for _, d := range differs {
		c.differ("%s: %s", now.Name(), d)
	}
	switch {
	case len(differs) > 0:
	case now.Reckoned():
		c.out.Again = append(c.out.Again, "the preload of "+now.Name())
	default:
		c.out.NotAgain = append(c.out.NotAgain, "the preload of "+now.Name()+": "+now.Result.Why)
	}
}

func (c *checking) differ(format string, args ...any) {
	c.out.Differs = append(c.out.Differs, fmt.Sprintf(format, args...))
}

func decodeJoints(text []byte) ([]workshop.ReckonedTightening, error) {
	if err := buildfile.CheckMembers(text); err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	var list []workshop.ReckonedTightening
	err := d.Decode(&list)
	return list, err
}
