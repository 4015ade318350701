package plan

import (
	"isthmus/core/record"
)

// PartRecord is what was put in, as it is written down.
const PartRecord Part = "record"

// deviceProblems says that a nail is in already, for the plan is then one for
// another nail, and returns what is wrong with the codes of the packets: a check that does not fit, and a part that had passed its date on
// the day it was put in. Source: as record.ReadDevice.
func deviceProblems(c record.Case) (out []Problem) {
	for i, im := range c.Implants {
		if im.Kind == partNail {
			out = append(out, trouble("nail-already-in", fields(index("implants", i)+".kind"), number("part", float64(i+1))))
		}
		d, known, err := record.ReadDevice(im.Device)
		where := index("implants", i)
		switch {
		case known && err != nil:
			out = append(out, trouble("device-wrong", fields(where+".device"), number("part", float64(i+1)), word("error", sentence(err.Error()))))
		case d.Expired(im.At):
			out = append(out, trouble("device-expired", fields(where+".device", where+".at"), number("part", float64(i+1)), word("date", d.Expires)))
		}
		if known && err == nil && d.Lot != "" && im.Lot != "" && d.Lot != im.Lot {
			out = append(out, trouble("device-lot", fields(where+".device", where+".lot"), number("part", float64(i+1)), word("lot", im.Lot), word("code", d.Lot)))
		}
	}
	return out
}
