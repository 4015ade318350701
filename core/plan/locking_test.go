package plan

import (
	"errors"
	"slices"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Source: AO/OTA 2018; the list of valid and invalid codes from the booklet's
// tables (facts 7), 31 from memory.
func TestParseCode(t *testing.T) {
	for _, ok := range []string{"32A3(b)", "32B2(c)", "32C3(k)", "32c3 (i)", "32A1", "31A1", "31A2", "31A3", "31B1", "31B2", "31B3", "32C2(j)"} {
		if _, err := ParseCode(ok); err != nil {
			t.Errorf("ParseCode(%q): %v", ok, err)
		}
	}
	for _, tt := range []struct{ code, why string }{
		{"32A4", "group"}, {"32B1", "group"}, {"32C1", "group"}, {"32C2(b)", "qualifier"}, {"32A1(j)", "qualifier"},
		{"31A1(a)", "qualifier"}, {"33A1", "bone"}, {"42A3(b)", "bone"}, {"31C1", "type"}, {"32D1", "type"},
		{"", "form"}, {"32", "form"}, {"32A3b", "form"}, {"32A3(b", "form"}, {"32A3[b]", "form"}, {"32A3(\xff)", "form"}, {"32A3(x)", "qualifier"},
		{"32A3(b) and a lot of text", "long"}, {"KK1(ı)", "form"},
	} {
		_, err := ParseCode(tt.code)
		var bad *CodeError
		if !errors.As(err, &bad) || bad.Why != tt.why {
			t.Errorf("ParseCode(%q) = %v, want %s", tt.code, err, tt.why)
		}
	}
}

func FuzzParseCode(f *testing.F) {
	for _, s := range []string{"32A3(b)", "32 c3 (k)", "31B1", "\xff", "32A3(\u0130)", "K2A3(b)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseCode(s)
		if err != nil {
			return
		}
		if again, err := ParseCode(c.String()); err != nil || again != c {
			t.Errorf("%q → %q → %v, %v", s, c, again, err)
		}
	})
}

// alone is a shaft fracture with a neck that was looked at and is whole.
func alone() record.Injury {
	return record.Injury{Neck: record.No, NeckByCT: record.Yes, NeckByFilm: record.Yes, Level: record.MidShaft}
}

func TestLock(t *testing.T) {
	with := func(f func(*record.Injury)) record.Injury { in := alone(); f(&in); return in }
	for _, tt := range []struct {
		name     string
		in       record.Injury
		want     Pattern
		runner   Pattern
		distal   int
		problems []string
		source   string
	}{
		{"shaft alone", alone(), Standard, HeadLock, 2, nil, "common practice"},
		{"neck broken", with(func(in *record.Injury) { in.Neck = record.Yes }), HeadLock, Standard, 2, nil, "common practice"},
		{"near the lesser trochanter", with(func(in *record.Injury) { in.Level = record.NearLesser }), HeadLock, Standard, 2, []string{"subtroch-reduce"}, "common practice"},
		{"subtrochanteric", with(func(in *record.Injury) { in.Level = record.Subtrochanter }), HeadLock, Standard, 2, []string{"subtroch-reduce"}, "common practice"},
		{"below the isthmus", with(func(in *record.Injury) { in.Level = record.BelowIsthmus }), Standard, HeadLock, 3, nil, "common practice"},
		{"neck broken, below the isthmus", with(func(in *record.Injury) { in.Neck, in.Level = record.Yes, record.BelowIsthmus }), HeadLock, Standard, 3, nil, "common practice"},
		{"atypical", with(func(in *record.Injury) { in.Atypical = record.Yes }), HeadLock, Standard, 2, nil, "facts 7, memory: protect the whole bone"},
		{"pathological", with(func(in *record.Injury) { in.Pathologic = record.Yes }), HeadLock, Standard, 2, nil, "facts 7, memory"},
		{"neck not asked", with(func(in *record.Injury) { in.Neck = record.NotAsked }), NoPattern, HeadLock, 2, []string{"neck-not-cleared"}, "Tornetta 2007: look for it"},
		{"neck unsure", with(func(in *record.Injury) { in.Neck = record.Unsure }), NoPattern, HeadLock, 2, []string{"neck-not-cleared"}, "Tornetta 2007"},
		{"neck said whole, nobody looked", with(func(in *record.Injury) { in.NeckByCT, in.NeckByFilm = record.No, record.Unsure }), NoPattern, HeadLock, 2, []string{"neck-not-looked-at"}, "Tornetta 2007"},
		{"CT only", with(func(in *record.Injury) { in.NeckByFilm = record.No }), Standard, HeadLock, 2, []string{"neck-ct-only"}, "JBJS 2020: thin CT missed 4 of 33"},
		{"film only", with(func(in *record.Injury) { in.NeckByCT = record.NotAsked }), Standard, HeadLock, 2, []string{"neck-film-only"}, "Tornetta 2007"},
		{"subtrochanteric, neck not asked", with(func(in *record.Injury) { in.Level, in.Neck = record.Subtrochanter, record.NotAsked }), HeadLock, Standard, 2, []string{"neck-not-cleared", "subtroch-reduce"}, "common practice"},
		{"level not asked", with(func(in *record.Injury) { in.Level = record.NoLevel }), NoPattern, Standard, 0, []string{"level-missing"}, "nothing is guessed"},
		{"level from (b)", with(func(in *record.Injury) { in.Level, in.Code = record.NoLevel, "32A3(b)" }), Standard, HeadLock, 2, nil, "AO/OTA 2018: middle third"},
		{"level from (c)", with(func(in *record.Injury) { in.Level, in.Code = record.NoLevel, "32A3(c)" }), Standard, HeadLock, 3, nil, "AO/OTA 2018: distal third"},
		{"level from (a) is open", with(func(in *record.Injury) { in.Level, in.Code = record.NoLevel, "32A3(a)" }), NoPattern, Standard, 0, []string{"level-missing"}, "the upper third may or may not be subtrochanteric"},
		{"code says neck, answer says none", with(func(in *record.Injury) { in.Code = "31B2" }), HeadLock, Standard, 2, []string{"code-level", "code-neck"}, "the safer of the two"},
		{"pertrochanteric", with(func(in *record.Injury) { in.Code = "31A2" }), HeadLock, Standard, 2, []string{"code-level"}, "AO/OTA 2018"},
		{"code and level contradict", with(func(in *record.Injury) { in.Code, in.Level = "32A3(c)", record.Subtrochanter }), HeadLock, Standard, 2, []string{"code-level", "subtroch-reduce"}, "the safer of the two"},
		{"impossible code", with(func(in *record.Injury) { in.Code = "32B1" }), Standard, HeadLock, 2, []string{"code-invalid"}, "AO/OTA 2018"},
		{"nothing answered", record.Injury{}, NoPattern, HeadLock, 0, []string{"level-missing", "neck-not-cleared"}, "nothing is guessed"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, problems := lock(tt.in, Bone{}, DefaultPolicy())
			if got.Pattern != tt.want || got.RunnerUp != tt.runner || got.Distal != tt.distal || !slices.Equal(codesOf(problems), tt.problems) {
				t.Errorf("%q (runner-up %q), %d distal, %v; want %q (%q), %d, %v (%s)", got.Pattern, got.RunnerUp, got.Distal, codesOf(problems),
					tt.want, tt.runner, tt.distal, tt.problems, tt.source)
			}
			if got.Pattern != NoPattern && len(got.Why) == 0 {
				t.Error("a pattern without a reason")
			}
		})
	}
}

func TestLockFromFilm(t *testing.T) {
	at := func(fracture, lesser, isthmus units.MM) Bone {
		l := func(v units.MM) *units.Length { return &units.Length{Best: v, Own: 2} }
		b := Bone{Fracture: l(fracture), Lesser: l(lesser)}
		if isthmus > 0 {
			b.Isthmus = l(isthmus)
		}
		return b
	}
	for _, tt := range []struct {
		name     string
		level    record.Level
		b        Bone
		want     Pattern
		distal   int
		problems []string
	}{
		{"80 mm below the lesser trochanter", record.MidShaft, at(150, 70, 0), Standard, 2, nil},
		{"30 mm below it, said mid-shaft", record.MidShaft, at(100, 70, 0), HeadLock, 2, []string{"level-film", "subtroch-reduce"}},
		{"3 mm below it", record.NoLevel, at(73, 70, 0), HeadLock, 2, []string{"subtroch-reduce"}},
		{"52 ± 6: too close to call", record.MidShaft, at(122, 70, 0), HeadLock, 2, []string{"level-close", "subtroch-reduce"}},
		{"said subtrochanteric, 80 mm below", record.Subtrochanter, at(150, 70, 0), HeadLock, 2, []string{"level-film", "subtroch-reduce"}},
		{"level open, 80 mm below decides", record.NoLevel, at(150, 70, 0), Standard, 2, nil},
		{"below the isthmus on the film", record.MidShaft, at(260, 70, 200), Standard, 3, nil},
		{"20 mm below the isthmus is still mid-shaft", record.MidShaft, at(220, 70, 200), Standard, 2, nil},
		{"24 ± 5.7 below it surely lies within the margin of 30", record.MidShaft, at(224, 70, 200), Standard, 2, nil},
		{"26 ± 5.7 below it: a screw more is the safer", record.MidShaft, at(226, 70, 200), Standard, 3, nil},
		{"said below, lies above", record.BelowIsthmus, at(150, 70, 200), Standard, 3, []string{"level-isthmus"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := alone()
			in.Level = tt.level
			got, problems := lock(in, tt.b, DefaultPolicy())
			if got.Pattern != tt.want || got.Distal != tt.distal || !slices.Equal(codesOf(problems), tt.problems) {
				t.Errorf("%q, %d distal, %v; want %q, %d, %v", got.Pattern, got.Distal, codesOf(problems), tt.want, tt.distal, tt.problems)
			}
		})
	}
}

func TestHazards(t *testing.T) {
	age := func(n int) *int { return &n }
	ok := record.Case{Side: anatomy.Left, Injury: record.Injury{OpenPhysis: record.No, Infection: record.No, Implant: record.No,
		Atypical: record.No, Pathologic: record.No, AgeYears: age(40)}}
	if got := hazards(ok, DefaultPolicy()); len(got) != 0 {
		t.Errorf("a quiet case gave %v", codesOf(got))
	}
	for _, tt := range []struct {
		name, want string
		level      Level
		f          func(*record.Case)
	}{
		{"no side", "side-missing", Missing, func(c *record.Case) { c.Side = "" }},
		{"open physis", "open-physis", Stop, func(c *record.Case) { c.Injury.OpenPhysis, c.Injury.AgeYears = record.Yes, age(18) }},
		{"17 years", "under-age", Stop, func(c *record.Case) { c.Injury.AgeYears = age(17) }},
		{"infection", "infection", Stop, func(c *record.Case) { c.Injury.Infection = record.Yes }},
		{"implant", "implant-in-way", Stop, func(c *record.Case) { c.Injury.Implant = record.Yes }},
		{"atypical", "atypical-bow", Caution, func(c *record.Case) { c.Injury.Atypical = record.Yes }},
		{"not asked", "answers-open", Missing, func(c *record.Case) { c.Injury.Infection = record.NotAsked }},
		{"unsure", "answers-open", Missing, func(c *record.Case) { c.Injury.Implant = record.Unsure }},
		{"no age, no physis", "answers-open", Missing, func(c *record.Case) { c.Injury.AgeYears, c.Injury.OpenPhysis = nil, record.NotAsked }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := ok
			tt.f(&c)
			got := hazards(c, DefaultPolicy())
			if len(got) != 1 || got[0].Code != tt.want || got[0].Level != tt.level {
				t.Errorf("got %v, want %s at %s", got, tt.want, tt.level)
			}
		})
	}
	eighteen := ok
	eighteen.Injury.AgeYears = age(18)
	if got := hazards(eighteen, DefaultPolicy()); len(got) != 0 {
		t.Errorf("18 years gave %v", codesOf(got))
	}
}
