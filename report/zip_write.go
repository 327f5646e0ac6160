package report

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
)

// zipWriter writes a ZIP without compression and with nothing in it that could
// be otherwise: no moments, no rights, no comments, one order. So a ZIP that was
// changed anywhere can be told from the bytes that its content makes, whatever
// version of whatever library is around then. Photos would not get smaller
// anyway.
//
// ref: ZIP_APPNOTE 4.3.7 local file header; ZIP_APPNOTE 4.3.12 central directory; ZIP_APPNOTE 4.3.16 end of central directory
type zipWriter struct {
	to      io.Writer
	at      int64
	entries []zipEntry
}

type zipEntry struct {
	name   string
	size   int64
	crc    uint32
	offset int64
}

// The fixed fields of every header.
const (
	zipLocal   = 0x04034b50
	zipCentral = 0x02014b50
	zipEnd     = 0x06054b50
	zipNeeds   = 20      // version 2.0
	zipUTF8    = 1 << 11 // names are UTF-8
	zipNoTime  = 0
	zipNoDate  = 1<<5 | 1 // 1 January 1980, the first day there is
)

// errTooLarge says that a build file does not fit the plain form of a ZIP.
var errTooLarge = errors.New("the build file would be larger than 4 GB; leave the original photos out")

func (z *zipWriter) write(b []byte) error {
	n, err := z.to.Write(b)
	z.at += int64(n)
	return err
}

// add writes one file whose size and checksum are known.
func (z *zipWriter) add(name string, size int64, crc uint32, content io.Reader) error {
	if size > math.MaxUint32 || z.at+size > math.MaxUint32-1<<24 || len(z.entries) >= math.MaxUint16 {
		return errTooLarge
	}
	e := zipEntry{name, size, crc, z.at}
	head := binary.LittleEndian.AppendUint32(nil, zipLocal)
	head = append(e.fields(head), 0, 0) // no extra field
	if err := z.write(append(head, name...)); err != nil {
		return err
	}
	n, err := io.Copy(z.to, content)
	z.at += n
	if err != nil {
		return err
	}
	if n != size {
		return fmt.Errorf("%s has %d bytes where %d were expected", name, n, size)
	}
	z.entries = append(z.entries, e)
	return nil
}

// fields are those that both headers of an entry share, up to the name's length.
func (e zipEntry) fields(head []byte) []byte {
	for _, v := range []uint16{zipNeeds, zipUTF8, 0, zipNoTime, zipNoDate} {
		head = binary.LittleEndian.AppendUint16(head, v)
	}
	for _, v := range []uint32{e.crc, uint32(e.size), uint32(e.size)} {
		head = binary.LittleEndian.AppendUint32(head, v)
	}
	return binary.LittleEndian.AppendUint16(head, uint16(len(e.name)))
}

// close writes the directory.
func (z *zipWriter) close() error {
	start := z.at
	for _, e := range z.entries {
		head := binary.LittleEndian.AppendUint32(nil, zipCentral)
		head = binary.LittleEndian.AppendUint16(head, zipNeeds) // made by
		head = e.fields(head)
		head = append(head, make([]byte, 12)...) // no extra field, comment, disk, attributes
		head = binary.LittleEndian.AppendUint32(head, uint32(e.offset))
		if err := z.write(append(head, e.name...)); err != nil {
			return err
		}
	}
	end := binary.LittleEndian.AppendUint32(nil, zipEnd)
	end = append(end, 0, 0, 0, 0) // one disk
	for range 2 {
		end = binary.LittleEndian.AppendUint16(end, uint16(len(z.entries)))
	}
	end = binary.LittleEndian.AppendUint32(end, uint32(z.at-start))
	end = binary.LittleEndian.AppendUint32(end, uint32(start))
	return z.write(append(end, 0, 0)) // no comment
}

// checksum is the checksum that ZIPs use.
func checksum(data []byte) uint32 { return crc32.ChecksumIEEE(data) }
