package report_test

import (
	"archive/zip"
	"bytes"
	"crypto/ed25519"
	"encoding/binary"
	"os"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
)

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
		"data that two programs read differently": {`the member "Name" comes twice, as "name"`, func(n []string, of map[string][]byte) []byte {
			of[buildfile.RebuildName] = bytes.Replace(of[buildfile.RebuildName], []byte(`"name": "Skua of the yard"`), []byte(`"Name": "Gannet", "name": "Skua of the yard"`), 1)
			return sealed(t, n, of, g.key)
		}},
		"a record with half a letter": {"half a letter", func(n []string, of map[string][]byte) []byte {
			of[buildfile.ChainName] = bytes.Replace(of[buildfile.ChainName], []byte("Pump timed after"), []byte(`Pump timed \udfff`), 1)
			return sealed(t, n, of, g.key)
		}},
		"a name that moves what is printed": {"holds signs that move what is printed", func(n []string, of map[string][]byte) []byte {
			of["raw/a\x1b[2J.txt"] = []byte("more")
			return packed(append(n, "raw/a\x1b[2J.txt"), of)
		}},
		"a car that moves what is printed": {"holds signs that move what is printed", func(n []string, of map[string][]byte) []byte {
			of[buildfile.ManifestName] = bytes.Replace(of[buildfile.ManifestName], []byte("Skua of the yard"), []byte(`Skua\u001b[2J\nfull.zip: in order`), 1)
			return packed(n, of)
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

// TestEndForLargerFiles: an end of the kind for files above 4 GB, whose numbers would
// bound nothing, stands before the plain one; and an end that points elsewhere.
func TestEndForLargerFiles(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	plain := bytes.Clone(content[len(content)-22:])
	start, directory := binary.LittleEndian.Uint32(plain[16:]), binary.LittleEndian.Uint32(plain[12:])
	entries := uint64(binary.LittleEndian.Uint16(plain[10:]))
	for name, at := range map[string]uint32{"0xffffffff": 0xffffffff, "elsewhere": start - 1} {
		var out bytes.Buffer
		out.Write(content[:len(content)-22])
		record := out.Len()
		_ = binary.Write(&out, binary.LittleEndian, uint32(0x06064b50)) // ref: ZIP_APPNOTE 4.3.14 and 4.3.15, from memory
		_ = binary.Write(&out, binary.LittleEndian, uint64(44))
		_ = binary.Write(&out, binary.LittleEndian, []uint16{45, 45})
		_ = binary.Write(&out, binary.LittleEndian, []uint32{0, 0})
		_ = binary.Write(&out, binary.LittleEndian, []uint64{entries, entries, uint64(directory), uint64(start)})
		_ = binary.Write(&out, binary.LittleEndian, []uint32{0x07064b50, 0})
		_ = binary.Write(&out, binary.LittleEndian, uint64(record))
		_ = binary.Write(&out, binary.LittleEndian, uint32(1))
		end := bytes.Clone(plain)
		binary.LittleEndian.PutUint32(end[16:], at)
		out.Write(end)
		if said := seen(t, out.Bytes()); !strings.HasPrefix(said, "bad: ") || !strings.Contains(said, "does not lie where its end says") {
			t.Errorf("%s: %q", name, said)
		}
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
