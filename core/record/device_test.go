package record

import (
	"errors"
	"testing"
)

func TestReadDevice(t *testing.T) {
	for _, tt := range []struct {
		name, in string
		want     Device
		known    bool
		why      string // of the refusal
	}{
		{"GS1 in brackets: FDA, UDI formats 2017, the sample", "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234",
			Device{"gs1", "51022222233336", "141231", "150707", "A213B1", "1234"}, true, ""},
		{"the same as scanned", "01510222222333361114123117150707" + "10A213B1\x1d211234",
			Device{"gs1", "51022222233336", "141231", "150707", "A213B1", "1234"}, true, ""},
		{"one digit wrong", "(01)51022222233337", Device{}, true, "check"},
		{"two digits changed over", "(01)15022222233336", Device{}, true, "check"},
		{"cut short", "(01)5102222223333", Device{}, true, "form"},
		{"a letter in it", "(01)5102222223333A", Device{}, true, "form"},
		{"a lot of 21", "(01)51022222233336(10)123456789012345678901", Device{}, true, "form"},
		{"a part nobody knows", "(01)51022222233336(99)X", Device{}, true, "form"},
		{"HIBC: hibc.org, modulo 43: sum 145, 145 mod 43 = 16, G", "+A123BJC5D6E71G", Device{Scheme: "hibc", ID: "A123BJC5D6E71"}, true, ""},
		{"HIBC, wrong", "+A123BJC5D6E71H", Device{}, true, "check"},
		{"HIBC, changed over is not seen by a sum, changed is", "+A123BJC5D6E72G", Device{}, true, "check"},
		{"HIBC in small letters", "+a123bjc5d6e71g", Device{}, true, "form"},
		{"what somebody wrote", "ref 12-345", Device{}, false, ""},
		{"nothing", "", Device{}, false, ""},
	} {
		got, known, err := ReadDevice(tt.in)
		var bad *DeviceError
		if tt.why != "" && (!errors.As(err, &bad) || bad.Why != tt.why || bad.Code() != "device-"+tt.why) || tt.why == "" && err != nil {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.why)
		}
		if got != tt.want || known != tt.known {
			t.Errorf("%s: %+v, %v, want %+v, %v", tt.name, got, known, tt.want, tt.known)
		}
	}
}

func TestExpired(t *testing.T) {
	for _, tt := range []struct {
		expires, on string
		want        bool
	}{
		{"150707", "2015-07-07T10:00:00Z", false}, {"150707", "2015-07-08T00:00:00Z", true},
		{"270100", "2027-01-31T23:00:00Z", false}, {"270100", "2027-02-01T00:00:00Z", true}, // by hand: 00 is the end of the month
		{"010101", "2099-12-31T00:00:00Z", false}, {"991231", "2100-01-01T00:00:00Z", true},
		{"", "2026-01-01T00:00:00Z", false}, {"260101", "", false}, {"2601x1", "2026-05-01T00:00:00Z", false},
	} {
		if got := (Device{Expires: tt.expires}).Expired(tt.on); got != tt.want {
			t.Errorf("%s on %s: %v", tt.expires, tt.on, got)
		}
	}
}

func FuzzReadDevice(f *testing.F) {
	for _, s := range []string{"(01)51022222233336(17)150707", "+A123BJC5D6E71G", "01510222222333361715070710A\x1d21B", "(01", "+", "(10)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, known, err := ReadDevice(s)
		if err != nil && d != (Device{}) || !known && (err != nil || d != (Device{})) {
			t.Errorf("%q: %+v, %v, %v", s, d, known, err)
		}
	})
}
