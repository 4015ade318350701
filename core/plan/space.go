package plan

import (
	"isthmus/core/implant"
	"isthmus/core/record"
)

func spaceOf(c record.Case, pl Plan, films []shot, shelf implant.Shelf, p Policy) (Space, []Problem) {
	return Space{}, nil
}
