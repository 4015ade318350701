package text

import "isthmus/core/source"

var partNames = map[source.Part]string{
	source.Scale:      "Scale of a film",
	source.Bone:       "The bone",
	source.Nail:       "The nail",
	source.Reaming:    "Reaming",
	source.HeadScrews: "Head screws",
	source.Locking:    "Locking",
	source.Alignment:  "How the leg stands",
	source.Union:      "Union",
	source.Kit:        "What to have in the room",
	source.Removal:    "Taking it out",
	source.Doubt:      "Doubt",
}

// MethodPart names a part of the methods.
func MethodPart(p source.Part) string {
	if s, ok := partNames[p]; ok {
		return s
	}
	return string(p)
}

// A SeenWord says what a word behind a source means.
type SeenWord struct{ Word, Means string }

// SeenWords returns what each word behind a source means, the surest first.
func SeenWords() []SeenWord {
	return []SeenWord{
		{string(source.Read), "the number was seen on the page that is named"},
		{string(source.Derived), "plain geometry, worked out here and checked again by a test"},
		{string(source.Abstract), "only the summary of the paper was seen, not the paper: details can be missing"},
		{string(source.Practice), "what is usual, with no published proof: a value you can change"},
		{string(source.Memory), "nobody has checked it against a page: trust it least, and change it if yours differs"},
	}
}

// Tied keeps every value of a sentence and its unit on one line.
func Tied(s string) string { return tie(s) }

// Says makes a sentence of what a source says: "One is enough (1993)."
func Says(s string) string { return tie(capital(s)) + "." }
