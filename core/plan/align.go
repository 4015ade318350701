package plan

import "isthmus/core/record"

func alignOf(c record.Case, films []shot, p Policy) (Align, []Problem) { return Align{}, nil }

func unionOf(c record.Case, p Policy) (Union, []Problem) { return Union{}, nil }
