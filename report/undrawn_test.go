package report_test

import (
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// aHEIC begins as a picture of that kind does (ISO/IEC 14496-12, box ftyp); it
// cannot be unpacked here.
var aHEIC = []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1 invented, of no use to anybody")

// TestUndrawnPicturesAreNamed: of a picture of a kind that cannot be drawn the PDF
// says where it is, in its place and in a list.
func TestUndrawnPicturesAreNamed(t *testing.T) {
	g := filled(t)
	photo := g.put("phone.heic", "image/heic", aHEIC)
	if photo.MediaType != "image/heic" {
		t.Fatalf("it was kept as %s", photo.MediaType)
	}
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{Zone: "roof", What: "Dent in the roof", HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-04-01", Photos: []rebuild.Attachment{photo}})
	})
	told := func(positions bool) (text string, kept bool) {
		o := g.options(buildfile.Full)
		o.Originals, o.Positions = positions, positions
		content := g.make(o)
		_, of := parts(t, content)
		_, kept = of["photos/"+photo.Hash+".heic"]
		return strings.Join(strings.Fields(tool(t, unpacked(t, content), "pdftotext", "-layout", buildfile.PDFName, "-")), " "), kept
	}
	text, kept := told(false)
	for _, want := range []string{"HEIC picture: not drawn, left out", "Pictures that are not drawn in this document", photo.Hash[:16], "not in this file"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	if kept {
		t.Error("a picture whose position cannot be taken out is in the ZIP")
	}
	text, kept = told(true)
	if !kept || !strings.Contains(text, "HEIC picture: kept in the ZIP, not drawn") || !strings.Contains(text, "in the ZIP, folder photos") {
		t.Errorf("kept %v, and not said", kept)
	}
}
