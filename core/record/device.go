package record

import (
	"strconv"
	"strings"
)

// A Device is what the code on a packet says, as it is written there: dates as
// six digits, year, month, day.
type Device struct {
	Scheme  string // gs1 or hibc
	ID      string // the device identifier
	Made    string
	Expires string
	Lot     string
	Serial  string
}

// A DeviceError reports a code of a packet that cannot be right.
type DeviceError struct {
	Why  string // check, form
	Got  string
	Need string
}

// Code names the fault for app/text.
func (e *DeviceError) Code() string { return "device-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *DeviceError) Error() string {
	return "record: the code of the packet has " + e.Got + ", need " + e.Need + ": read the code again, letter by letter"
}

// ReadDevice returns what a device code says: GS1 with its application
// identifiers (01), (11), (17), (10), (21), in brackets or as scanned, or HIBC.
// False means that the text is neither, which is no fault: a packet can say
// anything. The check digit of a GS1 identifier is
//
//	(10 − (3·d₁ + d₂ + 3·d₃ + …) mod 10) mod 10
//
// and the check character of HIBC is the sum of all values mod 43. Source: GS1
// General Specifications (check digit), HIBC Supplier Labeling Standard
// (modulo 43); FDA “UDI formats” 2017 for the identifiers. It refuses a wrong
// check and fields that are cut short.
func ReadDevice(s string) (Device, bool, error) {
	s = strings.TrimSpace(s)
	switch {
	case strings.HasPrefix(s, "+"):
		d, err := readHIBC(s)
		return d, true, err
	case strings.HasPrefix(s, "(01)"), len(s) >= 16 && strings.HasPrefix(s, "01") && digits(s[:16]) >= 0:
		d, err := readGS1(s)
		return d, true, err
	}
	return Device{}, false, nil
}

// gs1Fields lists the identifiers that are read, with their length; 0 is as
// long as it is, up to 20.
var gs1Fields = []struct {
	ai  string
	n   int
	put func(*Device, string)
}{
	{"01", 14, func(d *Device, s string) { d.ID = s }},
	{"11", 6, func(d *Device, s string) { d.Made = s }},
	{"17", 6, func(d *Device, s string) { d.Expires = s }},
	{"10", 0, func(d *Device, s string) { d.Lot = s }},
	{"21", 0, func(d *Device, s string) { d.Serial = s }},
}

func readGS1(s string) (Device, error) {
	d := Device{Scheme: "gs1"}
	for rest := s; rest != ""; {
		rest = strings.TrimLeft(rest, "\x1d ")
		var err error
		if rest, err = d.field(rest); err != nil {
			return Device{}, err
		}
	}
	if digits(d.ID) < 0 || gs1Check(d.ID[:13]) != d.ID[13] {
		return Device{}, &DeviceError{Why: "check", Got: "a check digit that does not fit", Need: "one that follows from the other 13 digits"}
	}
	return d, nil
}

// field reads one field off the front.
func (d *Device) field(s string) (rest string, err error) {
	bracket := strings.HasPrefix(s, "(")
	name := strings.TrimPrefix(s, "(")
	for _, f := range gs1Fields {
		body, ok := strings.CutPrefix(name, f.ai)
		if ok && bracket {
			body, ok = strings.CutPrefix(body, ")")
		}
		if !ok {
			continue
		}
		end := len(body)
		if cut := strings.IndexAny(body, "\x1d("); cut >= 0 {
			end = cut
		}
		if f.n > 0 && !bracket {
			end = min(f.n, len(body))
		}
		value := strings.TrimSpace(body[:end])
		if f.n > 0 && (len(value) != f.n || digits(value) < 0) || value == "" || len(value) > 20 {
			return "", &DeviceError{Why: "form", Got: strconv.Itoa(len(value)) + " characters after (" + f.ai + ")", Need: map[int]string{0: "1 to 20", 6: "6 digits", 14: "14 digits"}[f.n]}
		}
		f.put(d, value)
		return body[end:], nil
	}
	return "", &DeviceError{Why: "form", Got: "a part that is not known here", Need: "(01), (11), (17), (10) or (21)"}
}

// gs1Check returns the check digit of 13 digits.
func gs1Check(s string) byte {
	sum := 0
	for i := range len(s) {
		n := int(s[i] - '0')
		if i%2 == 0 {
			n *= 3
		}
		sum += n
	}
	return byte('0' + (10-sum%10)%10)
}

const hibcValues = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"

func readHIBC(s string) (Device, error) {
	if len(s) < 8 || len(s) > 64 || !only(s, hibcValues) {
		return Device{}, &DeviceError{Why: "form", Got: "another form", Need: "+, then capital letters, digits and - . $ / %, with the check character last"}
	}
	sum := 0
	for _, c := range s[:len(s)-1] {
		sum += strings.IndexRune(hibcValues, c)
	}
	if hibcValues[sum%43] != s[len(s)-1] {
		return Device{}, &DeviceError{Why: "check", Got: "a check character that does not fit", Need: "one that follows from the others"}
	}
	id, _, _ := strings.Cut(s[1:len(s)-1], "/")
	return Device{Scheme: "hibc", ID: id}, nil
}

// Expired reports whether a device had passed its date on a day (RFC 3339). Two
// digits of a year stand for the century in which they lie within 50 years of
// that day; a day of 00 is the end of the month. It is false where either is
// not known. Source: GS1 General Specifications (dates).
func (d Device) Expired(on string) bool {
	if len(d.Expires) != 6 || digits(d.Expires) < 0 || !isTime(on) {
		return false
	}
	now, day := digits(on[:4]), d.Expires[4:]
	year := now/100*100 + digits(d.Expires[:2])
	switch {
	case year-now > 50:
		year -= 100
	case now-year > 49:
		year += 100
	}
	if day == "00" {
		day = "99"
	}
	return strconv.Itoa(year)+d.Expires[2:4]+day < on[:4]+on[5:7]+on[8:10]
}
