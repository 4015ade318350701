package plan

import (
	"isthmus/core/implant"
	"isthmus/core/record"
)

func removalOf(c record.Case, shelf implant.Shelf, p Policy) (Removal, []Problem) {
	return Removal{}, nil
}
