package source

import "slices"

// A Part of the job that a method belongs to, in the order of the job.
type Part string

const (
	Scale      Part = "scale"
	Bone       Part = "bone"
	Nail       Part = "nail"
	Reaming    Part = "reaming"
	HeadScrews Part = "head screws"
	Locking    Part = "locking"
	Kit        Part = "kit"
	Alignment  Part = "alignment"
	Union      Part = "union"
	Removal    Part = "removal"
	Doubt      Part = "doubt"
)

// Parts returns the parts in the order of the job.
func Parts() []Part {
	return []Part{Scale, Bone, Nail, Reaming, HeadScrews, Locking, Kit, Alignment, Union, Removal, Doubt}
}

// A Method is one formula or rule that core works with, for a person who asks
// why. It is data: the formula is text, and core/methods_test.go works the
// example out again with the functions named in Code.
type Method struct {
	Key     string
	Part    Part
	Title   string
	Formula string   // plain text, one line for each step
	Inputs  []string // with units
	Limits  string   // when it refuses, when it is weak, in which direction it errs
	Sources []Key
	Check   string   // a worked example with its numbers
	Code    []string // functions of core, as room.Name or room.Type.Name
	Idle    bool     // ready and tested in core, and on no screen yet
}

// A Contradiction is a question on which sources disagree, and what is done.
type Contradiction struct {
	Topic    string
	A, B     string
	Handling string
	Of       string // key of the method it concerns
}

var methods = slices.Concat(scaleMethods, findMethods, joinedMethods, boneMethods, nailMethods, headMethods, spaceMethods, lockingMethods, classMethods, afterMethods, doubtMethods)

// Methods returns the register of methods, by part in the order of the job.
func Methods() []Method { return slices.Clone(methods) }

// FindMethod returns the method of a key, and false when there is none.
func FindMethod(key string) (Method, bool) {
	for _, m := range methods {
		if m.Key == key {
			return m, true
		}
	}
	return Method{}, false
}

// Contradictions returns where sources disagree, in the order of the job.
func Contradictions() []Contradiction { return slices.Clone(contradictions) }
