package record

// ReadingKinds returns every kind of reading.
func ReadingKinds() []ReadingKind {
	return []ReadingKind{TwoRods, SkinRuler, WireLower, WireUpper, OtherTrial, DistalDepth, BurialFound, GapFound,
		LengthInjured, LengthSound, TurnInjured, TurnSound, LesserInjured, LesserSound}
}

// EvidenceKinds returns every kind of evidence.
func EvidenceKinds() []EvidenceKind {
	return []EvidenceKind{Ball, Disc, Ruler, Distances, Header, Assumed, TwoMarkers, KnownPart}
}

// Levels returns every level of a fracture, from the top down.
func Levels() []Level { return []Level{NearLesser, Subtrochanter, MidShaft, BelowIsthmus} }

// Letters returns every answer about the side letter of a film.
func Letters() []Letter { return []Letter{LetterLeft, LetterRight, LetterNone} }

// Wounds returns every answer about the wound, the mildest first.
func Wounds() []Wound { return []Wound{Closed, WoundI, WoundII, WoundIIIA, WoundIIIB, WoundIIIC} }

// Comminutions returns every grade, the mildest first.
func Comminutions() []Comminution {
	return []Comminution{Comminution0, ComminutionI, ComminutionII, ComminutionIII, ComminutionIV}
}

// Entries returns the thirds of the trochanter from the front to the back.
func Entries() []Entry { return []Entry{EntryFront, EntryMiddle, EntryBack} }

func texts[T ~string](in []T) []string {
	var out []string
	for _, v := range in {
		out = append(out, string(v))
	}
	return out
}
