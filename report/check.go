package report

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"strings"

	"wreckwright/prove/buildfile"
)

// BadFile is the error of a file that is no build file, or not a whole one.
type BadFile struct {
	File    string
	Problem string
}

func (e *BadFile) Error() string { return buildfile.OneLine(e.File + ": " + e.Problem) }

// Hint says what to do.
func (e *BadFile) Hint() string {
	return "trust nothing in it; ask whoever made the build file for it once more"
}

// Checked is what the check of a build file came to.
type Checked struct {
	Manifest buildfile.Manifest
	// Wrong says, a sentence each, where the file is not what was signed.
	Wrong []string
	// Differs says where the measurements, worked out again, come out otherwise
	// than they were kept.
	Differs []string
	// Again are the measurements that came out the same, NotAgain those that could
	// not be worked out again, with the reason.
	Again, NotAgain []string
	Entries         int // of the record of evidence
	Missing         int // files that the data name and this edition does not hold
}

// checking is a build file under check.
type checking struct {
	ctx   context.Context
	name  string
	from  io.ReaderAt
	size  int64
	zip   *zip.Reader
	order []*zip.File // its files, without the folders that other programs list
	files map[string]*zip.File
	found map[string]buildfile.File // as they are
	// differs is the first byte, from 1, where the ZIP is not the one that its files
	// make; 0: none.
	differs int64
	out     Checked
}

// Check reads a build file where it lies, says whether it is what was signed, and
// works its measurements out again. Nothing is unpacked and nothing is written.
// [*BadFile]: it is no build file, or cut off, or made to harm.
func Check(ctx context.Context, from io.ReaderAt, size int64, name string) (Checked, error) {
	c := &checking{ctx: ctx, name: name, from: from, size: size, files: map[string]*zip.File{}, found: map[string]buildfile.File{}}
	if err := c.open(); err != nil {
		return Checked{}, err
	}
	text, err := c.read(buildfile.ManifestName)
	if err != nil {
		return Checked{}, err
	}
	if c.out.Manifest, err = buildfile.DecodeManifest(text); err != nil {
		return Checked{}, c.bad("%v", err)
	}
	if err := c.hashAll(); err != nil {
		return Checked{}, err
	}
	c.compareFiles()
	c.checkSeal(text)
	if err := c.checkData(); err != nil {
		return Checked{}, err
	}
	c.checkWrapping()
	c.out.onLines()
	return c.out, ctx.Err()
}

// onLines lets nothing that the file says write lines of its own where it is
// printed.
func (out *Checked) onLines() {
	for _, list := range [][]string{out.Wrong, out.Differs, out.Again, out.NotAgain} {
		for i := range list {
			list[i] = buildfile.OneLine(list[i])
		}
	}
}

// checkWrapping says last, after the files that were changed, that the ZIP around
// them is not the one that was written.
func (c *checking) checkWrapping() {
	switch {
	case c.differs > 0 && len(c.out.Wrong) > 0:
		c.wrong("the ZIP itself is not as it was written, from byte %d on", c.differs)
	case c.differs > 0:
		c.wrong("the ZIP itself is not as it was written, from byte %d on: it was packed anew or added to; each file in it is as it was signed", c.differs)
	}
}

func (c *checking) bad(format string, args ...any) error {
	return &BadFile{c.name, fmt.Sprintf(format, args...)}
}

func (c *checking) wrong(format string, args ...any) {
	c.out.Wrong = append(c.out.Wrong, fmt.Sprintf(format, args...))
}

// endSize is the size of the end of a ZIP's directory without a comment.
const endSize = 22

// mostDirectory bounds the directory of a build file.
const mostDirectory = 64 << 20

// open reads the directory, after its end has said that it is of a sensible size.
func (c *checking) open() error {
	end := make([]byte, endSize)
	if c.size < endSize {
		return c.bad("it is too short to be a ZIP")
	}
	if _, err := c.from.ReadAt(end, c.size-endSize); err != nil {
		return fmt.Errorf("reading %s: %w", c.name, err)
	}
	if binary.LittleEndian.Uint32(end) != zipEnd {
		return c.bad("it does not end as a build file does: it was cut off, or something was added, or it is no ZIP")
	}
	entries, directory, start := int(binary.LittleEndian.Uint16(end[10:])), int64(binary.LittleEndian.Uint32(end[12:])), int64(binary.LittleEndian.Uint32(end[16:]))
	if entries > buildfile.MostFiles || directory > mostDirectory || directory > c.size {
		return c.bad("its directory lists more than any build file holds")
	}
	// Where the end does not say where all lies, it would be looked for elsewhere, in
	// an end for larger files, whose numbers nothing bounds.
	if start+directory+endSize != c.size {
		return c.bad("its directory does not lie where its end says: something was added or taken out, or it is of the kind for files above 4 GB")
	}
	var err error
	if c.zip, err = zip.NewReader(c.from, c.size); err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return c.bad("its directory cannot be read: %v", err)
	}
	return c.list()
}

// list looks the directory over: what could harm whoever unpacks it is refused.
func (c *checking) list() error {
	var lying, unpacked uint64 // bytes
	folded := map[string]string{}
	for _, f := range c.zip.File {
		name, folder := strings.CutSuffix(f.Name, "/")
		if why := buildfile.BadName(name); why != "" {
			return c.bad("it holds a file %q whose name %s", f.Name, why)
		}
		if c.files[f.Name] != nil {
			return c.bad("it holds %s twice", f.Name)
		}
		if twin, there := folded[strings.ToLower(name)]; there && twin != f.Name {
			return c.bad("it holds %s and %s, which some systems take for one file", twin, f.Name)
		}
		folded[strings.ToLower(name)] = f.Name
		if special := f.Mode() &^ (fs.ModePerm | fs.ModeDir); special != 0 {
			return c.bad("it holds %s, which is no plain file but a link or a device", f.Name)
		}
		if why := badSize(f); why != "" {
			return c.bad("%s in it %s", f.Name, why)
		}
		if folder {
			if f.UncompressedSize64 > 0 {
				return c.bad("%s in it is a folder with content", f.Name)
			}
			continue
		}
		lying, unpacked = lying+f.CompressedSize64, unpacked+f.UncompressedSize64
		if size := uint64(c.size); f.CompressedSize64 > size || lying > size || unpacked > size*mostSwelling {
			return c.bad("its files would be larger than itself: it was cut off, or is made to swell")
		}
		c.order, c.files[f.Name] = append(c.order, f), f
	}
	for _, name := range []string{buildfile.ManifestName, buildfile.SignatureName, buildfile.SumsName, buildfile.RebuildName, buildfile.ChainName} {
		if c.files[name] == nil {
			return c.bad("%s is missing in it", name)
		}
	}
	return nil
}

// mostSwelling bounds how much larger a file may be than what holds it. Text
// packs to a tenth or so.
const mostSwelling = 50

// badSize says why a file of the ZIP is not to be read. Nothing in a build file is
// packed; one that somebody packed anew is read all the same, within bounds, so
// that it can be said which of its files was changed.
func badSize(f *zip.File) string {
	switch {
	case f.Method != zip.Store && f.Method != zip.Deflate:
		return "is packed in a way that is not read here, and nothing in a build file is packed"
	case f.Flags&1 != 0:
		return "is locked with a password, and nothing in a build file is"
	case f.Method == zip.Store && f.CompressedSize64 != f.UncompressedSize64:
		return "is said to be of two sizes: it was cut off, or is made to swell"
	case f.UncompressedSize64 > (f.CompressedSize64+64)*mostSwelling:
		return "is made to swell"
	}
	return ""
}

// content is what is in a file: the bytes as they lie there, or unpacked and never
// longer than the directory says.
func content(f *zip.File) (io.Reader, error) {
	if f.Method == zip.Store {
		return f.OpenRaw()
	}
	from, err := f.Open()
	if err != nil {
		return nil, err
	}
	return io.LimitReader(from, int64(f.UncompressedSize64)+1), nil
}

// read reads a small file of the ZIP as it is.
func (c *checking) read(name string) ([]byte, error) {
	f := c.files[name]
	if f == nil {
		return nil, c.bad("%s is missing in it", name)
	}
	if f.UncompressedSize64 > uint64(buildfile.MostJSON) {
		return nil, c.bad("%s in it is larger than %d MB", name, buildfile.MostJSON>>20)
	}
	from, err := content(f)
	if err != nil {
		return nil, c.bad("%s in it cannot be read: %v", name, err)
	}
	text, err := io.ReadAll(from)
	if err != nil {
		return nil, c.bad("%s in it cannot be read: %v", name, err)
	}
	return text, nil
}

// hashAll works out the hash of every file, and holds the ZIP itself, byte by
// byte, to the one that these files make: headers, order and end.
func (c *checking) hashAll() error {
	same := &sameBytes{from: c.from, size: c.size}
	z := &zipWriter{to: same}
	for _, f := range c.order {
		from, err := content(f)
		if err != nil {
			return c.bad("%s in it cannot be read: %v", f.Name, err)
		}
		sum, crc := sha256.New(), crc32.NewIEEE()
		read := io.TeeReader(readerUntil{c.ctx, from}, io.MultiWriter(sum, crc))
		if err := z.add(f.Name, int64(f.UncompressedSize64), f.CRC32, read); err != nil {
			if c.ctx.Err() != nil {
				return c.ctx.Err()
			}
			return c.bad("%s in it cannot be read: %v", f.Name, err)
		}
		c.found[f.Name] = buildfile.File{Name: f.Name, Size: int64(f.UncompressedSize64), SHA256: hex.EncodeToString(sum.Sum(nil))}
		if crc.Sum32() != f.CRC32 {
			c.wrong("%s does not fit its checksum in the ZIP", f.Name)
		}
	}
	if err := z.close(); err != nil {
		return err
	}
	if same.differs > 0 || z.at != c.size {
		c.differs = max(same.differs, 1)
	}
	return nil
}

// sameBytes is written to and compares with what a file holds.
type sameBytes struct {
	from    io.ReaderAt
	size    int64
	at      int64
	differs int64 // the first byte that differs, from 1; 0: none yet
	buffer  []byte
}

func (s *sameBytes) Write(p []byte) (int, error) {
	if s.differs > 0 {
		return len(p), nil
	}
	if cap(s.buffer) < len(p) {
		s.buffer = make([]byte, len(p))
	}
	held := s.buffer[:len(p)]
	n, err := s.from.ReadAt(held, s.at)
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	for i := range p {
		if i >= n || p[i] != held[i] {
			s.differs = s.at + int64(i) + 1
			break
		}
	}
	s.at += int64(len(p))
	return len(p), nil
}

// compareFiles holds every file to the manifest.
func (c *checking) compareFiles() {
	listed := map[string]bool{buildfile.ManifestName: true, buildfile.SignatureName: true, buildfile.SumsName: true}
	for _, want := range c.out.Manifest.Files {
		listed[want.Name] = true
		is, there := c.found[want.Name]
		switch {
		case !there:
			c.wrong("%s is missing", want.Name)
		case is.Size != want.Size:
			c.wrong("%s has %d bytes; %d were signed", want.Name, is.Size, want.Size)
		case is.SHA256 != want.SHA256:
			c.wrong("%s was changed: its SHA-256 is not the one that was signed", want.Name)
		case want.Of != "" && want.Changed == "" && want.Of != want.SHA256:
			c.wrong("%s is said to be the book's as it is, but is not", want.Name)
		}
	}
	for _, f := range c.order {
		if !listed[f.Name] {
			c.wrong("%s is not in the manifest: it was added", f.Name)
		}
	}
}

// checkSeal holds manifest, signature, key and sums to one another.
func (c *checking) checkSeal(text []byte) {
	signature, err := c.read(buildfile.SignatureName)
	if err != nil {
		c.wrong("%s cannot be read", buildfile.SignatureName)
		return
	}
	if why := buildfile.CheckSignature(c.out.Manifest, text, signature); why != "" {
		c.wrong("%s", why)
	}
	all := append([]buildfile.File{}, c.out.Manifest.Files...)
	all = append(all, c.found[buildfile.ManifestName], c.found[buildfile.SignatureName])
	if sums, err := c.read(buildfile.SumsName); err != nil || !bytes.Equal(sums, buildfile.Sums(all)) {
		c.wrong("%s does not list what the manifest does", buildfile.SumsName)
	}
	key, _ := hex.DecodeString(c.out.Manifest.PublicKey) // the manifest's form was checked
	if want, err := pemOf(key); err == nil {
		if is, err := c.read(buildfile.KeyName); err != nil || !bytes.Equal(is, want) {
			c.wrong("%s is not the key of the manifest", buildfile.KeyName)
		}
	}
}

// decodeRecord reads the record of evidence strictly.
func decodeRecord(text []byte) ([]buildfile.Entry, error) {
	if err := buildfile.CheckMembers(text); err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	var entries []buildfile.Entry
	err := d.Decode(&entries)
	return entries, err
}
