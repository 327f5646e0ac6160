package anglesfile

import (
	"strconv"
	"strings"
)

// Line is one entry of a file: its key from the root on, parted by full stops,
// and its value as YAML writes it.
type Line struct{ Key, Value string }

// Number is a number as a file holds it.
func Number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Text is a line of text as a file holds it.
func Text(s string) string { return strconv.Quote(strings.Join(strings.Fields(s), " ")) }

// group is the keys below a key, in the order in which they came.
type group struct {
	keys  []string
	value map[string]string
	below map[string]*group
}

func (g *group) put(path []string, value string) {
	key := path[0]
	if _, held := g.value[key]; !held && g.below[key] == nil {
		g.keys = append(g.keys, key)
	}
	if len(path) == 1 {
		g.value[key] = value
		return
	}
	if g.below[key] == nil {
		g.below[key] = newGroup()
	}
	g.below[key].put(path[1:], value)
}

func newGroup() *group { return &group{value: map[string]string{}, below: map[string]*group{}} }

func (g *group) write(b *strings.Builder, indent string) {
	for _, key := range g.keys {
		b.WriteString(indent + key + ":")
		if below := g.below[key]; below != nil {
			b.WriteString("\n")
			below.write(b, indent+"  ")
			continue
		}
		b.WriteString(" " + g.value[key] + "\n")
	}
}

// Write makes the text of a file. Keys with the same beginning stand together,
// where the first of them stood.
func Write(lines []Line) string {
	root := newGroup()
	for _, l := range lines {
		root.put(strings.Split(l.Key, "."), l.Value)
	}
	if root.below["wheels"] == nil {
		root.put([]string{"wheels"}, "{}")
	}
	var b strings.Builder
	root.write(&b, "")
	return b.String()
}
