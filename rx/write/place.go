package write

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"path/filepath"
)

// where tells the first difference of a file as whoever opens it would look for it: by its
// record, or by its line. What stands before it on the disk is as it should be.
func (c *compared) where() (string, error) {
	if _, err := c.file.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	var part string
	var err error
	switch head := bufio.NewReaderSize(c.file, 1<<16); filepath.Ext(c.name) {
	case ".shp":
		part, err = partOfShp(head, c.differs)
	case ".shx":
		part = record((c.differs - 100) / 8)
		if c.differs < 100 {
			part = "the header"
		}
	case ".dbf":
		part, err = partOfDBF(head, c.differs)
	case ".bin":
		part = "the grid"
	default:
		return c.line(head)
	}
	return fmt.Sprintf("%s is not the one of the plan, from byte %d of the file on", part, c.differs), err
}

func record(index int64) string { return fmt.Sprintf("record %d", index+1) }

// partOfShp walks the records' headers to a byte.
func partOfShp(r *bufio.Reader, at int64) (string, error) {
	const header, ofRecord = 100, 8
	if at < header {
		return "the header", nil
	}
	_, err := r.Discard(header)
	end := int64(header)
	for index := int64(0); err == nil; index++ {
		var head [ofRecord]byte
		if _, err = io.ReadFull(r, head[:]); err != nil {
			break
		}
		content := 2 * int64(binary.BigEndian.Uint32(head[4:]))
		if end += ofRecord + content; at < end {
			return record(index), nil
		}
		_, err = r.Discard(int(content))
	}
	return "the file", ended(err)
}

// partOfDBF finds the record of a byte by the lengths in the header.
func partOfDBF(r *bufio.Reader, at int64) (string, error) {
	const lengths, columns = 12, 32
	head, err := r.Peek(columns)
	switch {
	case at < lengths:
		return "the header", nil
	case err != nil:
		return "the file", ended(err)
	}
	first, each := int64(binary.LittleEndian.Uint16(head[8:])), int64(binary.LittleEndian.Uint16(head[10:]))
	switch {
	case at < columns:
		return "the header", nil
	case at < first || each == 0:
		return "the list of columns", nil
	}
	return record((at - first) / each), nil
}

// ended is an error of reading, unless the file only ends.
func ended(err error) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return nil
	}
	return err
}

// line tells a difference in a text: the line, and what stands there.
func (c *compared) line(r *bufio.Reader) (string, error) {
	line, column := 1, 0
	var before []byte // in the same line, the last of it
	for left := c.differs; left > 0; {
		part := make([]byte, min(left, 1<<16))
		if _, err := io.ReadFull(r, part); err != nil {
			return "", err
		}
		left -= int64(len(part))
		line += bytes.Count(part, []byte("\n"))
		if at := bytes.LastIndexByte(part, '\n'); at >= 0 {
			part, before, column = part[at+1:], nil, 0
		}
		column += len(part)
		before = append(before, part...)
		before = before[max(0, len(before)-mostShown):]
	}
	got, err := r.Peek(mostShown)
	if err = ended(err); err != nil {
		return "", err
	}
	return fmt.Sprintf("line %d, from character %d on, is %q, want %q", line, column+1, shown(before, got), shown(before, c.want)), nil
}

// shown is the part of a line around a difference.
func shown(before, from []byte) []byte {
	line, _, _ := bytes.Cut(from, []byte("\n"))
	return append(bytes.Clone(before[max(0, len(before)-mostShown/2):]), line...)
}
