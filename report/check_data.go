package report

import (
	"errors"
	"fmt"
	"io"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// checkData holds the record of evidence to its own chain and to the data, and
// works the measurements out again. Where the file is not what was signed the
// instruments are not asked: their answer would be about something else.
func (c *checking) checkData() error {
	text, err := c.read(buildfile.ChainName)
	if err != nil {
		return err
	}
	kept, err := decodeRecord(text)
	if err != nil {
		c.wrong("%s cannot be read: %v", buildfile.ChainName, err)
		return nil
	}
	c.out.Entries = len(kept)
	c.out.Wrong = append(c.out.Wrong, buildfile.CheckChain(kept)...)
	if buildfile.Head(kept) != c.out.Manifest.RecordHead {
		c.wrong("the record of evidence does not end with the hash that was signed")
	}
	if text, err = c.read(buildfile.RebuildName); err != nil {
		return err
	}
	r, err := readRebuild(text)
	if err != nil {
		c.wrong("%s cannot be read: %v", buildfile.RebuildName, err)
		return nil
	}
	reckoned, err := workshop.EvidenceRecord(r)
	if err != nil {
		c.wrong("the record of evidence cannot be made out of the data: %v", err)
		return nil
	}
	c.out.Wrong = append(c.out.Wrong, buildfile.CompareChains(kept, reckoned)...)
	c.countMissing(kept)
	if len(c.out.Wrong) > 0 {
		return nil
	}
	for i := range r.Evidence {
		if err := c.again(&r.Evidence[i]); err != nil {
			return err
		}
	}
	return c.checkJoints(r)
}

// readRebuild reads the data strictly, and only where no other program would read
// something else in them.
func readRebuild(text []byte) (*rebuild.Rebuild, error) {
	if err := buildfile.CheckMembers(text); err != nil {
		return nil, err
	}
	return store.ReadTaken(text)
}

// countMissing counts the files of the evidence that this edition does not hold.
func (c *checking) countMissing(entries []buildfile.Entry) {
	held := map[string]bool{}
	for _, f := range c.out.Manifest.Files {
		held[f.Of] = true
	}
	for _, e := range entries {
		for _, hash := range e.Files {
			if !held[hash] {
				c.out.Missing++
			}
		}
	}
}

// errLeftOut says that a file is not in this edition.
var errLeftOut = errors.New("its raw readings are not in this edition")

// again works one measurement out anew.
func (c *checking) again(e *rebuild.Evidence) (err error) {
	name := fmt.Sprintf("%s (%s)", e.Title, e.On)
	// The readings come from outside: a fault of the program on them is told and
	// ends nothing.
	defer func() {
		if fault := recover(); fault != nil {
			c.out.Differs = append(c.out.Differs, fmt.Sprintf("%s: a fault of the program while it was worked out again: %v", name, fault))
		}
	}()
	result, err := workshop.Again(c.ctx, e, c.rawFile)
	switch {
	case c.ctx.Err() != nil:
		return c.ctx.Err()
	case errors.Is(err, workshop.ErrNotAgain), errors.Is(err, errLeftOut):
		c.out.NotAgain = append(c.out.NotAgain, name+": "+err.Error())
		return nil
	case err != nil:
		c.out.Differs = append(c.out.Differs, fmt.Sprintf("%s: its raw readings give no result: %v", name, err))
		return nil
	}
	differs := buildfile.Compare(workshop.KeptResult(e), result)
	for _, d := range differs {
		c.out.Differs = append(c.out.Differs, name+": "+d)
	}
	if len(differs) == 0 {
		c.out.Again = append(c.out.Again, name)
	}
	return nil
}

// rawFile opens the raw readings of that hash within the ZIP.
func (c *checking) rawFile(hash string) (io.ReadCloser, error) {
	for _, f := range c.out.Manifest.Files {
		if f.Of != hash || f.Changed != "" {
			continue
		}
		from, err := content(c.files[f.Name])
		if err != nil {
			return nil, err
		}
		return io.NopCloser(from), nil
	}
	return nil, errLeftOut
}
