package plan

import (
	"isthmus/core/implant"
	"isthmus/core/record"
)

func seatOf(c record.Case, pl Plan, films []shot, shelf implant.Shelf, p Policy) (Seat, []Problem) {
	return Seat{}, nil
}

func distalOf(c record.Case, pl Plan, shelf implant.Shelf, p Policy) (Distal, []Problem) {
	return Distal{}, nil
}
