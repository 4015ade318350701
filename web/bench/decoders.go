package main

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

// packings are the films that are decoded beside others: the file it is copied
// from, or the program that packs the plain one; and the program that unpacks
// it. spare is a smaller film of the project for when the packer is missing.
var packings = []struct {
	name, from, packer, spare, unpacker string
}{
	{"lossless 3.8 Mpx", "films/real/RG2_JPLL.dcm", "", "", "dcmdjpeg"},
	{"extended 3.8 Mpx", "films/real/RG2_JPLY.dcm", "", "", "dcmdjpeg"},
	{"lossless 12 Mpx", "", "", "", "dcmdjpeg"},
	{"JPEG-LS 3.8 Mpx", "", "dcmcjpls", "films/variants/ts_80_jpegls_lossless.dcm", "dcmdjpls"},
	{"RLE 3.8 Mpx", "", "dcmcrle", "films/variants/ts_5_rle.dcm", "dcmdrle"},
}

const j2kFilm = "JPEG 2000 3.8 Mpx"

func has(program string) bool {
	_, err := exec.LookPath(program)
	return err == nil
}

// file returns a film's path; aside are those that the kernels do not open.
func (b *filmBench) file(name string) string  { return filepath.Join(b.dir, name+".dcm") }
func (b *filmBench) aside(name string) string { return filepath.Join(b.dir, "aside", name+".dcm") }

// packFilms writes the films of every packing.
func (b *filmBench) packFilms() error {
	plain := b.aside("plain 3.8 Mpx")
	for i := range packings {
		p := &packings[i]
		from := p.from
		if p.packer != "" {
			if has(p.packer) {
				if _, err := output(b.dir, p.packer, plain, b.file(p.name)); err != nil {
					return err
				}
				continue
			}
			os.Remove(b.file(p.name))
			from, p.name = p.spare, p.name[:len(p.name)-len("3.8 Mpx")]+"0.06 Mpx"
		}
		if from == "" {
			continue
		}
		film, err := os.ReadFile(filepath.Join(b.root, "testdata", filepath.FromSlash(from)))
		if err != nil {
			return err
		}
		if err := os.WriteFile(b.file(p.name), film, 0o644); err != nil {
			return err
		}
		if i == 0 && has("dcmdjpeg") {
			if _, err := output(b.dir, "dcmdjpeg", b.file(p.name), plain); err != nil {
				return err
			}
		}
	}
	return b.packJ2K(plain)
}

// packJ2K writes a JPEG 2000 film and, beside it, its bare codestream.
func (b *filmBench) packJ2K(plain string) error {
	stream := filepath.Join(b.dir, "aside", "stream.j2k")
	os.Remove(stream)
	if !has("gdcmconv") || !has("dcmdjpeg") {
		return nil
	}
	if _, err := output(b.dir, "gdcmconv", "--j2k", plain, b.aside(j2kFilm)); err != nil {
		return err
	}
	film, err := os.ReadFile(b.aside(j2kFilm))
	if err != nil {
		return err
	}
	codestream, ok := j2kStream(film)
	if !ok {
		return fmt.Errorf("bench: gdcmconv wrote no JPEG 2000 codestream")
	}
	return os.WriteFile(stream, codestream, 0o644)
}

// j2kStream returns the JPEG 2000 codestream of a film of one piece, from its
// start mark and SIZ to its end mark.
func j2kStream(film []byte) ([]byte, bool) {
	from := bytes.Index(film, []byte{0xFF, 0x4F, 0xFF, 0x51})
	to := bytes.LastIndex(film, []byte{0xFF, 0xD9})
	if from < 0 || to < from {
		return nil, false
	}
	return film[from : to+2], true
}

// decodeTheirs lets every program unpack its film once, and copy the plain one
// for its floor.
func (b *filmBench) decodeTheirs() error {
	out := filepath.Join(b.dir, "aside", "out.dcm")
	clock := func(to map[string][]float64, name string, program string, args ...string) error {
		ms, err := cost(b.dir, program, append(args, out)...)
		to[name] = append(to[name], ms)
		return err
	}
	for _, p := range packings {
		if !has(p.unpacker) || !has("dcmconv") {
			continue
		}
		if err := clock(b.theirs, p.name, p.unpacker, b.file(p.name)); err != nil {
			return err
		}
		plain := b.aside("unpacked " + p.name)
		if _, err := os.Stat(plain); err != nil {
			if _, err := output(b.dir, p.unpacker, b.file(p.name), plain); err != nil {
				return err
			}
		}
		if err := clock(b.floors, p.name, "dcmconv", plain); err != nil {
			return err
		}
	}
	if _, err := os.Stat(b.aside(j2kFilm)); err != nil {
		return nil
	}
	if err := clock(b.theirs, j2kFilm, "gdcmconv", "--raw", b.aside(j2kFilm)); err != nil {
		return err
	}
	if err := clock(b.floors, j2kFilm, "gdcmconv", "--raw", b.aside("plain 3.8 Mpx")); err != nil {
		return err
	}
	return b.decodeJ2K()
}

//go:embed j2k.js
var j2kScript string

// decodeJ2K decodes the codestream with the library that the film worker
// loads, in node.
func (b *filmBench) decodeJ2K() error {
	if !has("node") {
		return nil
	}
	out, err := output(b.dir, "node", "--require", filepath.Join(b.dir, "aside", "clock.js"), "-e", j2kScript, filepath.Join(b.root, "web", "static"), filepath.Join(b.dir, "aside", "stream.j2k"))
	if err != nil {
		return err
	}
	var ms []float64
	if err := json.Unmarshal(out, &ms); err != nil {
		return err
	}
	b.wasm.Ms["decode "+j2kFilm] = append(b.wasm.Ms["decode "+j2kFilm], ms...)
	return nil
}

// printDecoders prints ours beside theirs. Theirs count starting a process and
// writing the plain film; their floor is a program of theirs that only copies
// a plain film of the same size, and is taken off.
func (b *filmBench) printDecoders() {
	fmt.Printf("\ndecoding one film, from memory to samples, beside DCMTK (JPEG 2000: GDCM)\n"+
		"theirs counts starting a process, reading and writing; floor: their program that copies an equally large plain film\n"+
		"%-20s %22s %22s %22s %22s %14s %16s\n", "", "ours, native", "ours, WebAssembly", "theirs, whole", "floor", "theirs − floor", "ours ÷ theirs")
	names := []string{}
	for _, p := range packings {
		names = append(names, p.name)
	}
	for _, name := range append(names, j2kFilm) {
		ours, wasm := text(b.native.Ms["decode "+name]), text(b.wasm.Ms["decode "+name])
		theirs, floor := b.theirs[name], b.floors[name]
		if len(theirs) == 0 {
			fmt.Printf("%-20s %22s %22s   their program is not installed: only ours was measured\n", name, ours, wasm)
			continue
		}
		net := rangeOf(theirs).median - rangeOf(floor).median
		fmt.Printf("%-20s %22s %22s %22s %22s %14.1f %16s\n", name, ours, wasm, text(theirs), text(floor), net, overNet(b.native.Ms["decode "+name], net))
	}
	fmt.Println("JPEG 2000 has no native decoder of ours: OpenJPEG compiled to WebAssembly, in node; theirs is OpenJPEG compiled natively")
}

// text prints the range of some times, or a dash.
func text(ms []float64) string {
	if len(ms) == 0 {
		return "–"
	}
	return tenths(rangeOf(ms))
}

// overNet returns the median of ours over theirs without its floor, or a dash
// where one of them was not measured or drowns in the floor.
func overNet(ours []float64, net float64) string {
	if len(ours) == 0 || !(net > 1) {
		return "–"
	}
	return fmt.Sprintf("%.2f", rangeOf(ours).median/net)
}
