package plan

import (
	"isthmus/core/implant"
	"isthmus/core/record"
)

func kitOf(c record.Case, pl Plan, shelf implant.Shelf, p Policy) (Kit, []Problem) {
	return Kit{}, nil
}
