package main

import (
	"bytes"

	"isthmus/app/text"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/source"
)

// A planned is a plan as it is printed.
type planned struct {
	Practice string           `json:"practice,omitempty"` // of a drawn case: that it is nobody's
	Cautions []string         `json:"cautions"`
	Case     string           `json:"case"`
	Shelf    shelfUsed        `json:"shelf"`
	Sheet    []text.SheetLine `json:"sheet"`
	Problems []problem        `json:"problems"`
	Reasons  []reason         `json:"reasons"`
	Plan     plan.Plan        `json:"plan"`
}

type shelfUsed struct {
	Name     string `json:"name"`
	Teaching bool   `json:"teaching"`
	From     string `json:"from"` // "case file", "--shelf", "built in"
}

type problem struct {
	Level   plan.Level `json:"level"`
	Part    plan.Part  `json:"part"`
	Code    string     `json:"code"`
	Title   string     `json:"title"`
	Do      string     `json:"do"`
	Fields  []string   `json:"fields,omitempty"`
	Sources []cited    `json:"sources,omitempty"`
}

type reason struct {
	About   string  `json:"about"`
	Code    string  `json:"code"`
	Says    string  `json:"says"`
	Sources []cited `json:"sources,omitempty"`
}

type cited struct {
	Citation string `json:"citation"`
	Seen     string `json:"seen"`
}

func planCase(args []string) (any, error) {
	shelfPath, rest, err := option(args[1:], "--shelf")
	if err != nil {
		return nil, err
	}
	if len(rest) > 0 {
		return nil, &usageError{"“" + rest[0] + "” is not an option of plan"}
	}
	f, err := readCase(args[0])
	if err != nil {
		return nil, err
	}
	shelf, used, err := chooseShelf(shelfPath, f)
	if err != nil {
		return nil, err
	}
	pl := plan.For(f.Case, shelf)
	out := planned{
		Cautions: text.Cautions(), Case: f.Case.Label, Shelf: used, Sheet: text.Sheet(f.Case, pl),
		Problems: problemsOf(pl.Problems), Reasons: reasonsOf(pl), Plan: pl,
	}
	if f.Case.Practice != "" {
		out.Practice = text.PracticeLarge + ". " + text.PracticeMore
	}
	return out, nil
}

// option takes one option with a value out of the arguments.
func option(args []string, name string) (value string, rest []string, err error) {
	for i := 0; i < len(args); i++ {
		if args[i] != name {
			rest = append(rest, args[i])
			continue
		}
		if i+1 >= len(args) {
			return "", nil, &usageError{name + " needs a value"}
		}
		i++
		value = args[i]
	}
	return value, rest, nil
}

// readCase reads a case file or the case alone.
func readCase(path string) (record.File, error) {
	b, err := read(path)
	if err != nil {
		return record.File{}, err
	}
	if bytes.HasPrefix(bytes.TrimSpace(b), []byte("{")) {
		c, err := record.Unmarshal(b)
		return record.File{Case: c}, err
	}
	return record.Unpack(b)
}

// chooseShelf takes the shelf that was named, else the one that travels with
// the case, else the teaching set, and says which.
func chooseShelf(path string, f record.File) (implant.Shelf, shelfUsed, error) {
	b, from := f.Shelf, "case file"
	if path != "" {
		var err error
		if b, err = read(path); err != nil {
			return implant.Shelf{}, shelfUsed{}, err
		}
		from = "--shelf"
	}
	if b == nil {
		s := implant.Teaching()
		return s, shelfUsed{s.Name, s.Teaching, "built in"}, nil
	}
	parse := implant.ParseCSV
	if bytes.HasPrefix(bytes.TrimSpace(b), []byte("{")) {
		parse = implant.ParseJSON
	}
	s, err := parse(b)
	return s, shelfUsed{s.Name, s.Teaching, from}, err
}

func problemsOf(in []plan.Problem) []problem {
	out := []problem{}
	for _, p := range in {
		title, do := text.Problem(p)
		out = append(out, problem{p.Level, p.Part, p.Code, title, do, p.Fields, sources(p.Sources)})
	}
	return out
}

func reasonsOf(pl plan.Plan) []reason {
	out := []reason{}
	say := func(about string, reasons ...plan.Reason) {
		for _, r := range reasons {
			out = append(out, reason{about, r.Code, text.Reason(r), sources(r.Sources)})
		}
	}
	for _, s := range pl.Scales {
		say("scale", s.Why...)
	}
	for _, r := range pl.Bone.Routes {
		say("length of the bone", r.Why)
	}
	say("locking", pl.Locking.Why...)
	say("against this locking", pl.Locking.Against...)
	say("would change the locking", pl.Locking.Change...)
	say("length of the nail", pl.Nail.WhyLength...)
	say("diameter of the nail", pl.Nail.WhyDia...)
	say("lost with this shelf", pl.Nail.Lost...)
	say("reaming", pl.Reaming.Why...)
	say("head screws", pl.Head.Why...)
	say("lower head screw", pl.Head.Lower.Why...)
	say("upper head screw", pl.Head.Upper.Why...)
	return out
}

func sources(keys []source.Key) (out []cited) {
	for _, k := range keys {
		citation, seen := text.Source(k)
		out = append(out, cited{citation, seen})
	}
	return out
}
