package hostile

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
)

// pack makes a zip of name and content in turn.
func pack(parts ...string) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		if err == nil {
			_, err = io.WriteString(w, parts[i+1])
		}
		if err != nil {
			panic(err) // writing to memory
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// zips are hostile archives.
func zips() []File {
	zeros := func(n int) string { return strings.Repeat("\x00", n) }
	return []File{
		{"empty.zip", "an archive without members", Refused, "holds no model", func() []byte { return pack() }},
		{"pictures.ifczip", "an archive of other things", Refused, "holds no model", func() []byte { return pack("a.png", "\x89PNG", "b.txt", "hello") }},
		{"cut.ifczip", "an archive cut off", Refused, "cut off", func() []byte { b := pack("a.ifc", house()); return b[:len(b)/2] }},
		{"damaged.ifczip", "an archive with damaged content", Refused, "damaged", func() []byte { b := pack("a.ifc", house()); copy(b[len(b)/2:], "xxxxxxxxxxxxxxxx"); return b }},
		{"locked.ifczip", "an encrypted member", Refused, "encrypted", func() []byte {
			b := pack("a.ifc", house())
			b[6] |= 1
			i := bytes.LastIndex(b, []byte("PK\x01\x02"))
			b[i+8] |= 1
			return b
		}},
		{"zeros.ifczip", "a member of 1 GiB of NUL bytes named as a model", Refused, "more than", func() []byte { return bomb("a.ifc", "", "\x00", 1<<30) }},
		{"bomb.ifczip", "a model that goes on for 4 GiB", Refused, "more than", func() []byte { return bomb("a.ifc", head, "#1=IFCWALL($,$,$,$,$,$,$,$,$);\n", 4<<30) }},
		{"bombs.ifczip", "nine hundred members that share the bytes of one model of 2 MB", Refused, "more than", func() []byte {
			return shared(pack("a.ifc", house()+strings.Repeat("/* a note that takes room */\n", 70_000)), 900)
		}},
		{"inside.ifczip", "a zip inside a zip", Refused, "zip inside a zip", func() []byte { return pack("a.ifczip", string(pack("a.ifc", house()))) }},
		{"many.ifczip", "five thousand members", Refused, "members", func() []byte {
			var parts []string
			for i := range 5000 {
				parts = append(parts, fmt.Sprint(i, ".ifc"), "x")
			}
			return pack(parts...)
		}},
		{"paths.ifczip", "members whose names lead out of the folder", Read, "", func() []byte { return pack("../../../a.ifc", house(), "/etc/b.txt", "x") }},
		{"mixed.ifczip", "a sound model among folders, notes and what archivers add", Read, "", func() []byte {
			return pack("sub/", "", "sub/a.ifc", house(), "__MACOSX/sub/._a.ifc", zeros(100), ".DS_Store", "x", "read me.txt", "hello", "plan.pdf", "%PDF-1.4")
		}},
		{"lies.ifczip", "a directory that lies about sizes", Refused, "cannot be unpacked", func() []byte {
			b := pack("a.ifc", house())
			i := bytes.LastIndex(b, []byte("PK\x01\x02"))
			binary.LittleEndian.PutUint32(b[i+24:], 10)
			return b
		}},
		{"method.ifczip", "a packing method that nobody has", Refused, "cannot be unpacked", func() []byte {
			b := pack("a.ifc", house())
			i := bytes.LastIndex(b, []byte("PK\x01\x02"))
			binary.LittleEndian.PutUint16(b[8:], 99)
			binary.LittleEndian.PutUint16(b[i+10:], 99)
			return b
		}},
	}
}

// bomb packs a beginning followed by about n bytes of one text over and over. The packed form
// of the repeated part is written again and again instead of being made anew, and the
// checksum is left out: nobody gets so far.
func bomb(name, begin, again string, n int64) []byte {
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestCompression)
	write := func(s string) {
		if err == nil {
			_, err = io.WriteString(w, s)
		}
		if err == nil {
			err = w.Flush()
		}
	}
	block := strings.Repeat(again, 1<<20/len(again))
	write(begin)
	write(block)
	from := packed.Len()
	write(block) // refers to the block before, and so does every copy of it
	if err != nil {
		panic(err) // writing to memory
	}
	more := bytes.Clone(packed.Bytes()[from:])
	times := int(n / int64(len(block)))
	data := append(packed.Bytes(), bytes.Repeat(more, times)...)
	data = append(data, 3, 0) // an empty last block
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	m, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CompressedSize64: uint64(len(data)), UncompressedSize64: uint64(len(begin) + (2+times)*len(block))})
	if err == nil {
		_, err = m.Write(data)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		panic(err)
	}
	return b.Bytes()
}

// shared makes n directory entries of an archive's one member, so that it unpacks n times.
func shared(b []byte, n int) []byte {
	at := bytes.LastIndex(b, []byte("PK\x01\x02"))
	end := bytes.LastIndex(b, []byte("PK\x05\x06"))
	entry := b[at:end]
	out := bytes.Clone(b[:at])
	for range n {
		out = append(out, entry...)
	}
	tail := bytes.Clone(b[end:])
	binary.LittleEndian.PutUint16(tail[8:], uint16(n))
	binary.LittleEndian.PutUint16(tail[10:], uint16(n))
	binary.LittleEndian.PutUint32(tail[12:], uint32(n*len(entry)))
	return append(out, tail...)
}
