package plan

import "isthmus/core/record"

func classOf(in record.Injury, p Policy) (Class, []Problem) { return Class{}, nil }
