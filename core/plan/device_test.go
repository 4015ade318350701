package plan

import (
	"testing"

	"isthmus/core/implant"
	"isthmus/core/record"
)

func TestDeviceProblems(t *testing.T) {
	for _, tt := range []struct{ name, device, lot, want string }{
		{"sound (FDA, UDI formats 2017), not past its date", "(01)51022222233336(17)270707(10)A213B1", "A213B1", ""},
		{"past its date", "(01)51022222233336(17)150707", "", "device-expired"},
		{"wrong check digit", "(01)51022222233337", "", "device-wrong"},
		{"another lot than was written", "(01)51022222233336(10)A213B1", "A213B2", "device-lot"},
		{"what somebody wrote", "12-345", "", ""},
	} {
		c := record.Case{Implants: []record.Implant{{Kind: "nail", Device: tt.device, Lot: tt.lot, At: "2026-11-20T10:00:00Z"}}}
		pl := For(c, implant.Teaching())
		for _, code := range []string{"device-expired", "device-wrong", "device-lot"} {
			if !has(pl.Problems, "nail-already-in") {
				t.Errorf("%s: a nail is in, and nothing says so", tt.name)
			}
			if has(pl.Problems, code) != (code == tt.want) {
				t.Errorf("%s: %v, want %q", tt.name, codesOf(pl.Problems), tt.want)
			}
		}
	}
}
