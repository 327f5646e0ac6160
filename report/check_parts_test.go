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
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
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
