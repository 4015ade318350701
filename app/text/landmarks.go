package text

import "maps"

func init() {
	maps.Copy(landmarkNames, landmarkNamesMore)
	maps.Copy(landmarkHints, landmarkHintsMore)
}

var landmarkNamesMore = map[string]string{
	"join":           "mark that both films show",
	"second-upper":   "second break, upper end",
	"second-lower":   "second break, lower end",
	"patella-top":    "upper pole of the kneecap",
	"flare-a":        "canal above the lesser trochanter, one inner edge",
	"flare-b":        "canal above the lesser trochanter, other inner edge",
	"neck-front":     "neck, front inner edge",
	"neck-back":      "neck, back inner edge",
	"piece-upper":    "upper piece, a place on its break",
	"piece-lower":    "lower piece, the place that belongs against it",
	"old-nail-top":   "old nail, upper end",
	"old-nail-lower": "old nail, lower end",
	"lesser-middle":  "lesser trochanter, its middle",
	"bow-upper":      "bow, upper place",
	"bow-middle":     "bow, middle place",
	"bow-lower":      "bow, lower place",
}

var landmarkHintsMore = map[string]string{
	"join":           "Tap a mark that is seen on another film of this bone too: a graduation of the ruler, or a spike of the fracture.",
	"second-upper":   "Tap the highest point that the second break reaches.",
	"second-lower":   "Tap the lowest point that the second break reaches.",
	"patella-top":    "Tap the upper edge of the kneecap.",
	"flare-a":        "20 mm above the middle of the lesser trochanter, tap the inner edge of the cortex on one side. With that middle and a scale, a line shows the height.",
	"flare-b":        "At the same height, tap the inner edge of the cortex on the other side.",
	"neck-front":     "At the narrowest place of the neck, tap the inner edge of the front cortex.",
	"neck-back":      "At the same place, tap the inner edge of the back cortex.",
	"piece-upper":    "Tap a place on the broken edge of the upper piece that you can find again on the lower one.",
	"piece-lower":    "Tap the place of the lower piece that will stand against it.",
	"old-nail-top":   "Tap the upper end of the nail that is already there.",
	"old-nail-lower": "Tap its lower end.",
	"lesser-middle":  "Tap the lesser trochanter half way between its upper and its lower border.",
	"bow-upper":      "Between the upper and the lower point of the shaft, a quarter of the way down, tap the middle of the canal.",
	"bow-middle":     "Half way between the two, tap the middle of the canal.",
	"bow-lower":      "Three quarters of the way down, tap the middle of the canal.",
}
