package recording

import (
	"bufio"
	"encoding/binary"
	"errors"
)

// The parts of an Ogg page's header, and the longest name of an encoder and the
// most comments that are believed.
const (
	pageHeadBytes  = 27
	continuedPage  = 1
	mostVendor     = 4096
	mostComments   = 10_000
	identification = 30 // bytes of the first packet
)

var errComments = errors.New("no believable header of comments on the second page")

// checkComments looks ahead at the header of comments: the decoder makes room for
// as many as that says before it reads one, and memory that is not there ends the
// program.
//
// ref: RFC_3533 section 6; VORBIS_I section 4.2.2; VORBIS_I section 5.2.1
func checkComments(in *bufio.Reader) error {
	const second = pageHeadBytes + 1 + identification
	head, err := in.Peek(second + pageHeadBytes)
	if err != nil {
		return err
	}
	page := head[second:]
	if head[26] != 1 || head[27] != identification || string(page[:4]) != "OggS" || page[5]&continuedPage != 0 {
		return errComments
	}
	body := second + pageHeadBytes + int(page[26])
	const before = 7 // "\x03vorbis"
	head, err = in.Peek(body + before + 4)
	if err != nil {
		return err
	}
	vendor := binary.LittleEndian.Uint32(head[body+before:])
	if string(head[body:body+before]) != "\x03vorbis" || vendor > mostVendor {
		return errComments
	}
	count := body + before + 4 + int(vendor)
	head, err = in.Peek(count + 4)
	if err != nil {
		return err
	}
	if binary.LittleEndian.Uint32(head[count:]) > mostComments {
		return errComments
	}
	return nil
}
