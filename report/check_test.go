package report_test

import (
	"archive/zip"
	"bytes"
	"crypto/ed25519"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"hash/crc32"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/report"
)

// seen says what the check finds; empty: nothing.
func seen(t testing.TB, content []byte) string {
	t.Helper()
	c, err := report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
	var bad *report.BadFile
	switch {
	case errors.As(err, &bad):
		return "bad: " + err.Error()
	case err != nil:
		t.Fatalf("neither a bad file nor a whole one: %v", err)
	case len(c.Wrong) > 0:
		return "wrong: " + strings.Join(c.Wrong, "; ")
	case len(c.Differs) > 0:
		return "differs: " + strings.Join(c.Differs, "; ")
	}
	return ""
}

// TestEveryChangedByteIsFound: in each file one byte, and bytes anywhere: in
// headers, names, the directory, the end.
func TestEveryChangedByteIsFound(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	dice := rand.New(rand.NewPCG(1, 2))
	flip := func(at int, name string) {
		changed := bytes.Clone(content)
		changed[at] ^= byte(1 + dice.IntN(255))
		if seen(t, changed) == "" {
			t.Errorf("byte %d (%s) was changed and nothing was seen", at, name)
		}
	}
	for _, f := range r.File {
		start, err := f.DataOffset()
		if err != nil {
			t.Fatal(err)
		}
		flip(int(start)+dice.IntN(int(f.UncompressedSize64)), f.Name)
		flip(int(start)-1, "the name of "+f.Name)
		flip(int(start)-len(f.Name)-dice.IntN(30)-1, "the header of "+f.Name)
	}
	for range 300 {
		flip(dice.IntN(len(content)), "anywhere")
	}
	directory := len(content) - 22 - 46*len(r.File)
	for range 100 {
		flip(directory+dice.IntN(len(content)-directory), "the directory")
	}
}

// parts are the files of a ZIP, to be put together otherwise.
func parts(t testing.TB, content []byte) (names []string, of map[string][]byte) {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	of = map[string][]byte{}
	for _, f := range r.File {
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if of[f.Name], err = io.ReadAll(from); err != nil {
			t.Fatal(err)
		}
		names = append(names, f.Name)
	}
	return names, of
}

// packed writes a ZIP as a build file is written, out of any files; twice allowed.
func packed(names []string, of map[string][]byte) []byte {
	var out, directory bytes.Buffer
	fields := func(b *bytes.Buffer, name string) {
		for _, v := range []uint16{20, 1 << 11, 0, 0, 1<<5 | 1} {
			_ = binary.Write(b, binary.LittleEndian, v)
		}
		_ = binary.Write(b, binary.LittleEndian, []uint32{crc32.ChecksumIEEE(of[name]), uint32(len(of[name])), uint32(len(of[name]))})
		_ = binary.Write(b, binary.LittleEndian, uint16(len(name)))
	}
	for _, name := range names {
		at := uint32(out.Len())
		out.WriteString("PK\x03\x04")
		fields(&out, name)
		out.WriteString("\x00\x00" + name)
		out.Write(of[name])
		directory.WriteString("PK\x01\x02\x14\x00")
		fields(&directory, name)
		directory.Write(make([]byte, 12))
		_ = binary.Write(&directory, binary.LittleEndian, at)
		directory.WriteString(name)
	}
	start := out.Len()
	out.Write(directory.Bytes())
	out.WriteString("PK\x05\x06\x00\x00\x00\x00")
	_ = binary.Write(&out, binary.LittleEndian, []uint16{uint16(len(names)), uint16(len(names))})
	_ = binary.Write(&out, binary.LittleEndian, []uint32{uint32(directory.Len()), uint32(start)})
	out.WriteString("\x00\x00")
	return out.Bytes()
}

// sealed makes manifest, signature and sums fit again, with that key: what a
// forger would do.
func sealed(t testing.TB, names []string, of map[string][]byte, key ed25519.PrivateKey) []byte {
	t.Helper()
	m, err := buildfile.DecodeManifest(of[buildfile.ManifestName])
	if err != nil {
		t.Fatal(err)
	}
	public := key.Public().(ed25519.PublicKey)
	m.PublicKey, m.Fingerprint = hex.EncodeToString(public), buildfile.Fingerprint(public)
	for i := range m.Files {
		f := &m.Files[i]
		f.Size, f.SHA256 = int64(len(of[f.Name])), buildfile.HashOf(of[f.Name])
	}
	if of[buildfile.ManifestName], err = m.Encode(); err != nil {
		t.Fatal(err)
	}
	of[buildfile.SignatureName] = ed25519.Sign(key, of[buildfile.ManifestName])
	all := append([]buildfile.File{}, m.Files...)
	for _, name := range []string{buildfile.ManifestName, buildfile.SignatureName} {
		all = append(all, buildfile.File{Name: name, SHA256: buildfile.HashOf(of[name])})
	}
	of[buildfile.SumsName] = buildfile.Sums(all)
	return packed(names, of)
}

// TestPutTogetherAgain: the test's own packing gives the very bytes, so that what
// it changes is what it means to change.
func TestPutTogetherAgain(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	if names, of := parts(t, content); !bytes.Equal(packed(names, of), content) {
		t.Fatal("packed anew it is another file")
	}
}

// TestForgeries: what somebody may do to a build file, and what is said of it.
func TestForgeries(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	other := ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, 32))
	for name, c := range map[string]struct {
		says  string
		forge func(names []string, of map[string][]byte) []byte
	}{
		"one edited digit": {"data/rebuild.json was changed", func(n []string, of map[string][]byte) []byte {
			of[buildfile.RebuildName] = bytes.Replace(of[buildfile.RebuildName], []byte("61000"), []byte("41000"), 1)
			return packed(n, of)
		}},
		"one edited digit of a reading": {"was changed", func(n []string, of map[string][]byte) []byte {
			for name := range of {
				if strings.HasPrefix(name, "raw/") && bytes.Contains(of[name], []byte("600")) {
					of[name] = bytes.Replace(of[name], []byte("600"), []byte("601"), 1)
				}
			}
			return packed(n, of)
		}},
		"swapped photos": {"were signed", func(n []string, of map[string][]byte) []byte {
			a, b := "", ""
			for _, name := range n {
				if strings.HasPrefix(name, "photos/") {
					a, b = b, name
				}
			}
			of[a], of[b] = of[b], of[a]
			return packed(n, of)
		}},
		"an added file": {"it was added", func(n []string, of map[string][]byte) []byte {
			of["records/more.txt"] = []byte("more")
			return packed(append(n, "records/more.txt"), of)
		}},
		"a file taken out": {"build-file.pdf is missing", func(n []string, of map[string][]byte) []byte {
			return packed(remove(n, buildfile.PDFName), of)
		}},
		"no manifest": {"manifest.json is missing in it", func(n []string, of map[string][]byte) []byte {
			return packed(remove(n, buildfile.ManifestName), of)
		}},
		"no signature": {"manifest.sig is missing in it", func(n []string, of map[string][]byte) []byte {
			return packed(remove(n, buildfile.SignatureName), of)
		}},
		"sums that lie": {"SHA256SUMS does not list", func(n []string, of map[string][]byte) []byte {
			of[buildfile.SumsName][0] ^= 1
			return packed(n, of)
		}},
		"a manifest that fits, with the old signature": {"manifest.sig does not sign", func(n []string, of map[string][]byte) []byte {
			old := bytes.Clone(of[buildfile.SignatureName])
			of[buildfile.RebuildName] = bytes.Replace(of[buildfile.RebuildName], []byte("61000"), []byte("41000"), 1)
			sealed(t, n, of, g.key)
			of[buildfile.SignatureName] = old
			return packed(n, of)
		}},
		"another order": {"the ZIP itself is not as it was written", func(n []string, of map[string][]byte) []byte {
			r := zipOf(t, n, of, zip.Store)
			return r
		}},
		"packed anew": {"each file in it is as it was signed", func(n []string, of map[string][]byte) []byte { return zipOf(t, n, of, zip.Deflate) }},
		"packed anew with its folders": {"each file in it is as it was signed", func(n []string, of map[string][]byte) []byte {
			return zipOf(t, append([]string{"data/", "photos/"}, n...), of, zip.Deflate)
		}},
		"packed anew with one edited digit": {"wrong: data/rebuild.json", func(n []string, of map[string][]byte) []byte {
			of[buildfile.RebuildName] = bytes.Replace(of[buildfile.RebuildName], []byte("61000"), []byte("41000"), 1)
			return zipOf(t, n, of, zip.Deflate)
		}},
		"packed anew with a path that leads out": {"leads out of the folder", func(n []string, of map[string][]byte) []byte {
			of["../../evil.txt"] = []byte("evil")
			return zipOf(t, append(n, "../../evil.txt"), of, zip.Deflate)
		}},
		"a folder that leads out": {"leads out of the folder", func(n []string, of map[string][]byte) []byte {
			return zipOf(t, append(n, "../evil/"), of, zip.Deflate)
		}},
		"a path that leads out": {"leads out of the folder", func(n []string, of map[string][]byte) []byte {
			of["../../evil.txt"] = []byte("evil")
			return packed(append(n, "../../evil.txt"), of)
		}},
		"a path from the root": {"leads out of the folder", func(n []string, of map[string][]byte) []byte {
			of["/evil.txt"] = []byte("evil")
			return packed(append(n, "/evil.txt"), of)
		}},
		"the same name twice": {"it holds data/rebuild.json twice", func(n []string, of map[string][]byte) []byte {
			return packed(append(n, buildfile.RebuildName), of)
		}},
		"the record linked anew and signed by another": {"the record of evidence", func(n []string, of map[string][]byte) []byte {
			of[buildfile.ChainName] = bytes.Replace(of[buildfile.ChainName], []byte("Pump timed after"), []byte("Pump timed again"), 1)
			return sealed(t, n, of, other)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			names, of := parts(t, content)
			if said := seen(t, c.forge(names, of)); !strings.Contains(said, c.says) || strings.HasPrefix(said, "differs") {
				t.Errorf("said %q, want %q", said, c.says)
			}
		})
	}
}

// TestLinksAndTwins: what would be a link when it is unpacked, or would take the
// place of another file where capitals do not count.
func TestLinksAndTwins(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	of["DATA/rebuild.json"] = of["data/rebuild.json"]
	if said := seen(t, packed(append(names, "DATA/rebuild.json"), of)); !strings.HasPrefix(said, "bad: ") || !strings.Contains(said, "some systems take for one file") {
		t.Error(said)
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range names {
		header := &zip.FileHeader{Name: name, Method: zip.Store}
		content := of[name]
		if name == "build-file.pdf" {
			header.SetMode(os.ModeSymlink | 0o777)
			content = []byte("/etc/passwd")
		}
		w, err := z.CreateHeader(header)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(content); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if said := seen(t, out.Bytes()); !strings.HasPrefix(said, "bad: ") || !strings.Contains(said, "build-file.pdf, which is no plain file but a link") {
		t.Error(said)
	}
}

func remove(names []string, name string) []string {
	var left []string
	for _, n := range names {
		if n != name {
			left = append(left, n)
		}
	}
	return left
}

func zipOf(t testing.TB, names []string, of map[string][]byte, method uint16) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range names {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(of[name]); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestPackedAnewIsReadWhole: what was only packed anew has its measurements worked
// out again as if it were not.
func TestPackedAnewIsReadWhole(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	names, of := parts(t, content)
	for _, anew := range [][]byte{content, zipOf(t, names, of, zip.Deflate)} {
		c, err := report.Check(t.Context(), bytes.NewReader(anew), int64(len(anew)), "x.zip")
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Again) == 0 || len(c.Differs) > 0 || len(c.NotAgain) > 0 {
			t.Errorf("again %v, differs %v, not again %v", c.Again, c.Differs, c.NotAgain)
		}
	}
}

// TestBomb: a megabyte of nothing in a kilobyte, and a directory that names the
// same bytes again and again.
func TestBomb(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	of["raw/zeros.csv"] = make([]byte, 4<<20)
	if said := seen(t, zipOf(t, append(names, "raw/zeros.csv"), of, zip.Deflate)); !strings.Contains(said, "made to swell") {
		t.Error(said)
	}
	// Overlapping entries: 200 of them over the same megabyte.
	whole := packed([]string{"a"}, map[string][]byte{"a": make([]byte, 1<<20)})
	body, directory := whole[:len(whole)-22-47], whole[len(whole)-22-47:len(whole)-22]
	bomb := bytes.NewBuffer(bytes.Clone(body))
	for i := range 200 {
		entry := bytes.Clone(directory)
		entry[len(entry)-1] = byte(33 + i%90)
		bomb.Write(entry)
	}
	bomb.WriteString("PK\x05\x06\x00\x00\x00\x00")
	_ = binary.Write(bomb, binary.LittleEndian, []uint16{200, 200})
	_ = binary.Write(bomb, binary.LittleEndian, []uint32{200 * 47, uint32(len(body))})
	bomb.WriteString("\x00\x00")
	if said := seen(t, bomb.Bytes()); !strings.HasPrefix(said, "bad: ") {
		t.Error(said)
	}
}

// TestCutOff: wherever a file breaks off, and whatever is put behind its end, it
// is no whole one.
func TestCutOff(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	for i := range 40 {
		if said := seen(t, content[:len(content)*i/40]); !strings.HasPrefix(said, "bad: ") {
			t.Errorf("cut off after %d fortieths: %q", i, said)
		}
	}
	if said := seen(t, append(bytes.Clone(content), 0)); !strings.HasPrefix(said, "bad: ") {
		t.Error(said)
	}
	if said := seen(t, append([]byte("#!/bin/sh\n"), content...)); said == "" {
		t.Error("something before the ZIP was not seen")
	}
}

// TestWrongResultIsFound: the workshop itself enters a better figure than the
// readings give, and signs it.
func TestWrongResultIsFound(t *testing.T) {
	g := filled(t)
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		e := r.Evidence[0]
		e.Verdict, e.Figures = rebuild.VerdictPass, append([]rebuild.EvidenceFigure{}, e.Figures...)
		e.Figures[0].Value *= 1.01
		e.Figures[0].Low, e.Figures[0].High = nil, nil
		return r.EditEvidence(e)
	})
	said := seen(t, g.make(g.options(buildfile.Full)))
	if !strings.HasPrefix(said, "differs: ") || !strings.Contains(said, "the verdict was pass, and is now fail") {
		t.Error(said)
	}
}

// TestNothingIsWritten: the check leaves no file anywhere it could.
// A preload that was kept otherwise than thread, torque and friction give it is
// found, although whoever has the key signed it.
func TestWrongPreloadIsFound(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	kept := string(of[buildfile.JointsName])
	for name, c := range map[string]struct{ from, to, wants string }{
		"another preload": {`"value": `, `"value": 1`, "Preload of each fastener was"},
		"another joint":   {`"number": 1`, `"number": 2`, "stands where that of"},
		"an unknown key":  {`"number": 1`, `"number": 1, "sure": true`, "cannot be read"},
		"none at all":     {kept, "[]\n", "speaks of 0 tightenings; the data hold 1"},
	} {
		t.Run(name, func(t *testing.T) {
			of := maps.Clone(of)
			of[buildfile.JointsName] = []byte(strings.Replace(kept, c.from, c.to, 1))
			content := sealed(t, names, of, g.key)
			out, err := report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
			if err != nil || len(out.Wrong) > 0 || len(out.Differs) == 0 || !strings.Contains(strings.Join(out.Differs, "; "), c.wants) {
				t.Errorf("wrong %v, differs %v, %v", out.Wrong, out.Differs, err)
			}
		})
	}
}

func TestNothingIsWritten(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	of["../out.txt"] = []byte("x")
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("TMPDIR", dir)
	for _, content := range [][]byte{g.make(g.options(buildfile.Full)), packed(append(names, "../out.txt"), of)} {
		seen(t, content)
	}
	if held, err := os.ReadDir(dir); err != nil || len(held) > 0 {
		t.Errorf("%v, %v", held, err)
	}
}

// FuzzCheck: whatever a file holds, the check ends and breaks nothing.
func FuzzCheck(f *testing.F) {
	f.Add([]byte("PK\x05\x06"), 0)
	f.Add(packed([]string{buildfile.ManifestName}, map[string][]byte{buildfile.ManifestName: []byte("{}")}), 1)
	f.Fuzz(func(t *testing.T, content []byte, _ int) {
		if seen(t, content) == "" {
			t.Errorf("%d bytes are a build file", len(content))
		}
	})
}
