package web

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
)

// structure is what the check of a page gathers while it reads it.
type structure struct {
	faults   []string
	ids      map[string]bool
	refs     []reference // to ids of the same page
	controls []control
	labels   map[string]bool // ids that a label names
	levels   []int           // of the headings, in order
	count    map[string]int
	open     []string // elements that are open
	forms    []*formSeen
}

type reference struct{ from, id string }

type control struct {
	what, id string
	labelled bool
}

type formSeen struct {
	action     string
	post, once bool
}

// checkStructure lists what is wrong with how a page is built: what the policy
// forbids, what a screen reader or a keyboard would stumble over, and marks that a
// template leaves when it fails.
func checkStructure(page string) []string {
	s := &structure{ids: map[string]bool{}, labels: map[string]bool{}, count: map[string]int{}}
	for _, mark := range []string{"<no value>", "ZgotmplZ", "%!", "&lt;nil&gt;", "map["} {
		if strings.Contains(page, mark) {
			s.fault("holds %q, the mark of a failed template", mark)
		}
	}
	decoder := xml.NewDecoder(strings.NewReader(page))
	decoder.Strict, decoder.AutoClose, decoder.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.fault("cannot be read: %v", err)
			return s.faults
		}
		s.token(token)
	}
	s.whole()
	return s.faults
}

func (s *structure) fault(format string, args ...any) {
	s.faults = append(s.faults, fmt.Sprintf(format, args...))
}

func (s *structure) token(token xml.Token) {
	switch t := token.(type) {
	case xml.StartElement:
		s.start(t)
		s.open = append(s.open, t.Name.Local)
	case xml.EndElement:
		if len(s.open) > 0 {
			s.open = s.open[:len(s.open)-1]
		}
	case xml.CharData:
		if len(s.open) == 0 || strings.TrimSpace(string(t)) == "" {
			return
		}
		switch s.open[len(s.open)-1] {
		case "script", "style":
			s.fault("an inline %s", s.open[len(s.open)-1])
		case "title":
			if !slices.Contains(s.open, "svg") {
				s.count["title text"]++
			}
		}
	}
}

func (s *structure) start(e xml.StartElement) {
	name, attrs := e.Name.Local, map[string]string{}
	for _, a := range e.Attr {
		key := a.Name.Local
		if a.Name.Space != "" {
			key = a.Name.Space + ":" + key
		}
		attrs[key] = a.Value
		s.attribute(name, key, a.Value)
	}
	if !slices.Contains(s.open, "svg") { // a drawing has a title of its own
		s.count[name]++
	}
	if len(name) == 2 && name[0] == 'h' && name[1] >= '1' && name[1] <= '6' {
		s.levels = append(s.levels, int(name[1]-'0'))
	}
	switch name {
	case "label":
		s.labels[attrs["for"]] = true
	case "input", "select", "textarea":
		s.control(name, attrs)
	case "img":
		if _, ok := attrs["alt"]; !ok {
			s.fault("an image without alt: %s", attrs["src"])
		}
	case "form":
		s.forms = append(s.forms, &formSeen{action: attrs["action"], post: attrs["method"] == "post"})
	case "html":
		if attrs["lang"] == "" {
			s.fault("the page does not say its language")
		}
	}
}

func (s *structure) attribute(element, name, value string) {
	switch {
	case name == "style" || strings.HasPrefix(name, "on"):
		s.fault("<%s %s=%q>: forbidden by the policy", element, name, value)
	case name == "id":
		if s.ids[value] {
			s.fault("the id %q stands twice", value)
		}
		s.ids[value] = true
		if value == "" || strings.ContainsAny(value, " \t\n") {
			s.fault("%q is no id", value)
		}
	case name == "for" || name == "aria-labelledby" || name == "aria-describedby" || name == "list" || name == "data-preview" || name == "data-shows":
		for id := range strings.FieldsSeq(value) {
			s.refs = append(s.refs, reference{element + " " + name, id})
		}
	case name == "href" || name == "src" || name == "action" || name == "formaction" || name == "hx-get":
		s.address(element, value)
	}
}

func (s *structure) address(element, value string) {
	switch {
	case strings.HasPrefix(value, "#"):
		s.refs = append(s.refs, reference{element + " href", value[1:]})
	case !strings.HasPrefix(value, "/") || strings.HasPrefix(value, "//"):
		s.fault("<%s> leads to %q: want an address of this server that begins with /", element, value)
	}
}

func (s *structure) control(name string, attrs map[string]string) {
	if attrs["type"] == "hidden" {
		if attrs["name"] == "request" && attrs["value"] != "" && len(s.forms) > 0 {
			s.forms[len(s.forms)-1].once = true
		}
		return
	}
	if _, hidden := attrs["hidden"]; hidden {
		return
	}
	named := attrs["aria-label"] != "" || attrs["aria-labelledby"] != "" || slices.Contains(s.open, "label")
	s.controls = append(s.controls, control{name + " " + attrs["name"], attrs["id"], named})
}

// whole checks what is only known at the end of the page.
func (s *structure) whole() {
	for _, once := range []string{"h1", "main", "title", "title text"} {
		if s.count[once] != 1 {
			s.fault("%d times %s; want one", s.count[once], once)
		}
	}
	before := 0
	for _, level := range s.levels {
		if level > before+1 {
			s.fault("a heading of level %d follows one of level %d", level, before)
		}
		before = level
	}
	for _, c := range s.controls {
		if !c.labelled && (c.id == "" || !s.labels[c.id]) {
			s.fault("<%s> has no label", c.what)
		}
	}
	for _, r := range s.refs {
		if !s.ids[r.id] {
			s.fault("%s names %q, which is not on the page", r.from, r.id)
		}
	}
	for _, f := range s.forms {
		if f.post && !f.once && f.action != "/who" && !strings.HasSuffix(f.action, "/import") {
			s.fault("the form to %s has no token: sent twice it counts twice", f.action)
		}
	}
}

// The check is worth something only when it finds faults.
func TestStructureFindsFaults(t *testing.T) {
	page := `<!doctype html><html><head><title></title></head><body><main><h1>A</h1><h1>B</h1><h4>C</h4>
<p style="color:red" onclick="x()">&lt;nil&gt;</p><style>p{}</style><script>alert(1)</script><img src="/a.png"><a href="http://elsewhere.example/">x</a><a href="#gone">y</a>
<form method="post" action="/r/1/jobs"><input name="a" id="a"><label for="b">B</label><input id="b" name="b"><input id="b" name="c" aria-label="C"></form></main></body></html>`
	all := strings.Join(checkStructure(page), "\n")
	for _, want := range []string{
		"does not say its language", "2 times h1", "0 times title text", "level 4 follows one of level 1", "style=", "onclick=", "inline style", "inline script",
		"without alt", `leads to "http://elsewhere.example/"`, `names "gone"`, "<input a> has no label", `id "b" stands twice`, "has no token", "&lt;nil&gt;",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("not found: %s\n%s", want, all)
		}
	}
	if n := strings.Count(all, "\n") + 1; n != 15 {
		t.Errorf("%d faults; want 15, no more:\n%s", n, all)
	}
}
