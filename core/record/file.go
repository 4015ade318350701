package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// FileVersion is the version of the container that is written and the last
// that is read.
const FileVersion = 1

// The limits of a case file.
const (
	MaxFile  = 512 << 20 // bytes of all parts together
	maxShelf = 2 << 20
	maxParts = 2 + maxFilms
	maxLine  = 200 // bytes of one line of the header
)

const (
	firstWord  = "isthmus-file "
	caseName   = "case.json"
	shelfName  = "shelf.json"
	filmPrefix = "film/"
	listPart   = "list of parts"
)

// A File is one case on its way from one device to another.
type File struct {
	Case   Case
	Shelf  []byte            // the shelf that was used, as core/implant writes it; nil: not sent along
	Films  map[string][]byte // by SHA-256; a film of the case may be left out
	Absent []string          // set by Unpack: films that the case names and the file does not hold, sorted
}

// part is one line of the header and its bytes.
type part struct {
	name string
	size int64
	sum  string
	data []byte
}

// Pack returns the case file: a header in text that lists every part with its
// length and SHA-256, the SHA-256 of that header, and the parts one after
// another. The same File gives the same bytes. It refuses a case in which
// Check finds a fault, a film that the case does not name or that is not the
// one it names, and what is too large.
func Pack(f File) ([]byte, error) {
	data, err := Marshal(f.Case)
	if err != nil {
		return nil, err
	}
	parts := []part{{name: caseName, data: data}}
	if f.Shelf != nil {
		parts = append(parts, part{name: shelfName, data: f.Shelf})
	}
	for _, sum := range slices.Sorted(maps.Keys(f.Films)) {
		parts = append(parts, part{name: filmPrefix + sum, data: f.Films[sum]})
	}
	total := int64(0)
	for i := range parts {
		parts[i].size = int64(len(parts[i].data))
		if total += parts[i].size; total > MaxFile {
			return nil, &LimitError{What: "the case file", Got: total, Max: MaxFile}
		}
	}
	for i := range parts {
		parts[i].sum = sumOf(parts[i].data)
		if err := parts[i].check(f.Case); err != nil {
			return nil, err
		}
	}
	return join(parts, total), nil
}

func join(parts []part, total int64) []byte {
	out := make([]byte, 0, int(total)+maxLine*(len(parts)+2))
	out = fmt.Appendf(out, "%s%d\n", firstWord, FileVersion)
	for _, p := range parts {
		out = fmt.Appendf(out, "part %s %d %s\n", p.name, p.size, p.sum)
	}
	out = fmt.Appendf(out, "end %s\n", sumOf(out))
	for _, p := range parts {
		out = append(out, p.data...)
	}
	return out
}

func sumOf(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}

// check judges a part beside the case: its size, and whether a film is one
// that the case names.
func (p part) check(c Case) error {
	most := map[string]int64{caseName: MaxCase, shelfName: maxShelf}[p.name]
	if most == 0 {
		most = maxFilm
	}
	if p.size > most {
		return &LimitError{What: p.name, Got: p.size, Max: most}
	}
	name, film := strings.CutPrefix(p.name, filmPrefix)
	if !film {
		if p.size == 0 {
			return &FormatError{Got: p.name + " without bytes", Need: "bytes in every part"}
		}
		return nil
	}
	if name != p.sum {
		return &DamagedError{Part: p.name, Why: "its bytes are not those of its name"}
	}
	i := slices.IndexFunc(c.Films, func(f Film) bool { return f.SHA256 == name })
	switch {
	case i < 0:
		return &FormatError{Got: "a film that the case does not name, " + name[:8] + "…", Need: "films of the case only"}
	case c.Films[i].Bytes != p.size:
		return &FormatError{Got: fmt.Sprintf("a film of %d bytes where the case says %d", p.size, c.Films[i].Bytes), Need: "the same"}
	}
	return nil
}

// Unpack returns the content of a case file. Every byte of the file is under
// a SHA-256: one that is not as it was written gives a *DamagedError that
// names its part. Other files are a *FormatError, later versions a
// *NewerError, more than 512 MiB a *LimitError, and a fault in the case itself
// a *FieldError. Nothing is allocated for a part before the list of parts has
// been checked against its own SHA-256 and against the length of the file. The
// films and the shelf are parts of b, not copies. The shelf is not judged here.
func Unpack(b []byte) (File, error) {
	parts, err := list(b)
	if err != nil {
		return File{}, err
	}
	for _, p := range parts {
		if sumOf(p.data) != p.sum {
			return File{}, &DamagedError{Part: p.name, Why: "its bytes are not those that were written"}
		}
	}
	c, err := Unmarshal(parts[0].data)
	if err != nil {
		return File{}, err
	}
	f := File{Case: c, Films: map[string][]byte{}}
	for _, p := range parts {
		if err := p.check(c); err != nil {
			return File{}, err
		}
		if sum, film := strings.CutPrefix(p.name, filmPrefix); film {
			f.Films[sum] = p.data
		} else if p.name == shelfName {
			f.Shelf = p.data
		}
	}
	f.Absent = absent(c, f.Films)
	return f, nil
}

// absent lists the films of a case that are not among those given.
func absent(c Case, have map[string][]byte) []string {
	var out []string
	for _, film := range c.Films {
		if _, ok := have[film.SHA256]; !ok {
			out = append(out, film.SHA256)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// list reads the header, checks it, and cuts the file into its parts.
func list(b []byte) ([]part, error) {
	if int64(len(b)) > MaxFile+maxLine*(maxParts+2) {
		return nil, &LimitError{What: "the case file", Got: int64(len(b)), Max: MaxFile}
	}
	lines, rest, err := header(b)
	if err != nil {
		return nil, err
	}
	var parts []part
	left := int64(len(rest))
	for _, line := range lines {
		p, err := parsePart(line)
		if err != nil {
			return nil, err
		}
		if len(parts) > 0 && rank(p.name) <= rank(parts[len(parts)-1].name) {
			return nil, &FormatError{Got: p.name + " out of order or twice", Need: "case.json, shelf.json, then films by name"}
		}
		if p.size > left {
			return nil, &DamagedError{Part: p.name, Why: "the file ends before it does"}
		}
		p.data, rest = rest[:p.size:p.size], rest[p.size:]
		left -= p.size
		parts = append(parts, p)
	}
	switch {
	case len(parts) == 0 || parts[0].name != caseName:
		return nil, &FormatError{Got: "no case.json first", Need: "case.json as the first part"}
	case left > 0:
		return nil, &DamagedError{Part: "end", Why: strconv.FormatInt(left, 10) + " bytes follow the last part"}
	}
	return parts, nil
}

// rank orders the parts by their names.
func rank(name string) string {
	switch name {
	case caseName:
		return "0"
	case shelfName:
		return "1"
	}
	return "2" + name
}

// header returns the lines of the parts and what follows the header, once the
// header has the SHA-256 that its last line gives.
func header(b []byte) (lines []string, rest []byte, err error) {
	first, rest, ok := line(b)
	number, ours := strings.CutPrefix(first, firstWord)
	version := digits(number)
	switch {
	case !ok || !ours || version < 1 || number[0] == '0' || len(number) > 6:
		return nil, nil, &FormatError{Got: "another first line", Need: firstWord + strconv.Itoa(FileVersion)}
	case version > FileVersion:
		return nil, nil, &NewerError{Found: version, Known: FileVersion}
	}
	for {
		at := len(b) - len(rest)
		var text string
		if text, rest, ok = line(rest); !ok || len(lines) > maxParts {
			return nil, nil, &DamagedError{Part: listPart, Why: "it has no end"}
		}
		if sum, end := strings.CutPrefix(text, "end "); end {
			if sum != sumOf(b[:at]) {
				return nil, nil, &DamagedError{Part: listPart, Why: "it is not as it was written"}
			}
			return lines, rest, nil
		}
		lines = append(lines, text)
	}
}

// line cuts off the first line, without its newline.
func line(b []byte) (string, []byte, bool) {
	i := bytes.IndexByte(b[:min(len(b), maxLine)], '\n')
	if i < 0 {
		return "", nil, false
	}
	return string(b[:i]), b[i+1:], true
}

// parsePart reads "part NAME LENGTH SHA256" in its one spelling.
func parsePart(text string) (part, error) {
	w := strings.Split(text, " ")
	if len(w) != 4 || w[0] != "part" {
		return part{}, &FormatError{Got: "a line that is no part", Need: "part, name, length, sha256"}
	}
	p := part{name: w[1], size: int64(digits(w[2])), sum: w[3]}
	sum, film := strings.CutPrefix(p.name, filmPrefix)
	switch {
	case p.name != caseName && p.name != shelfName && !(film && isHex(sum, 64)):
		return part{}, &FormatError{Got: "a part of unknown name", Need: "case.json, shelf.json or film/ and its sha256"}
	case len(w[2]) > 10 || p.size < 1 || w[2][0] == '0':
		return part{}, &FormatError{Got: "a length that is no number", Need: "the number of bytes"}
	case !isHex(p.sum, 64):
		return part{}, &FormatError{Got: "a sha256 that is none", Need: "64 hexadecimal digits in lower case"}
	}
	return p, nil
}
