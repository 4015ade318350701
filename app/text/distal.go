package text

import "maps"

func init() {
	maps.Copy(reasons, seatReasons)
	maps.Copy(problems, seatProblems)
	maps.Copy(reasons, distalReasons)
	maps.Copy(problems, distalProblems)
}

var seatReasons = map[string]string{
	"seat-read":    "The top of the nail was read {burial} below the tip of the trochanter.",
	"seat-screws":  "The head screws ask for the top of the nail {burial} below the tip of the trochanter. Read it again when the nail is in.",
	"seat-planned": "Planned with the top of the nail {burial} below the tip of the trochanter. Read it again when the nail is in.",
	"cap-flush":    "The top lies {burial} deep: {cap} is the highest cap in stock that does not stand proud. It ends {left} below the tip of the trochanter.",
	"cap-next":     "The next higher cap in stock, {cap}, would stand {proud} above the tip.",
	"cap-record":   "Record the height of the cap: whoever takes the nail out asks for it. Nail and cap together are the length of the implant.",
	"seat-tip":     "The tip of the nail comes to {tip} below the tip of the trochanter, {short} short of the target.",
	"seat-notch":   "The tip ends {distance} above the roof of the notch.",
	"seat-patella": "The tip passes the upper pole of the kneecap by {distance}; nails that end above it touch the front cortex more often.",
	"bow-two":      "Over {chord} the bow of the bone (radius {bone}) is {mismatch} higher than that of the nail (radius {nail}). A hint: entry and room in the canal change it.",
	"form-cortex":  "On film {film}, {bone}: {value} ± {doubt} of the width at the isthmus is cortex, (outer − canal) / outer.",
	"form-flare":   "On film {film}, {bone}: the canal 20 mm above the middle of the lesser trochanter is {value} ± {doubt} times as wide as at the isthmus. Under 3.0 is called a stovepipe, over 4.7 a champagne flute.",
	"form-bow":     "On film {film}, {bone}: radius {radius}, {height} high over {chord}. A leg that is not seen quite from the side shows less.",
	"form-untold":  "I cannot tell {what}, because {error}.",
	"bow-straight": "On film {film} the canal cannot be told from straight over {chord}: the bow of the nail is not the trouble.",
}

var seatProblems = map[string]words{
	"burial-missing":  {"Depth of the nail not known", "Read how far the top of the nail lies below the tip of the trochanter. Without it no cap can be chosen."},
	"nail-proud":      {"Nail stands proud", "The top stands {proud} above the tip of the trochanter. It rubs and hurts: drive it in before you lock, or take a shorter nail."},
	"cap-none":        {"No end cap low enough", "The top lies {burial} deep and the lowest cap is {smallest}: it would stand out. Leave the cap out, or seat the nail deeper."},
	"cap-shelf-none":  {"No end cap on the shelf", "The shelf has no end cap in stock. The thread of the nail will fill with bone, which makes it hard to take out."},
	"cap-close":       {"End cap flush or proud: too close to call", "The cap ends {left} below the tip of the trochanter. Look at it on the image intensifier, and feel for it."},
	"tip-past-target": {"Nail ends past the target", "The tip comes {past} past the target. Take a shorter nail, or seat it less deep."},
	"notch-past":      {"Nail in the knee", "The tip comes {past} past the roof of the notch, into the joint. Stop: take a shorter nail."},
	"notch-perhaps":   {"Nail past the notch? Too close to call", "The tip ends {distance} above the roof of the notch (minus: past it); the chance that it is past is {percent} %. Look from the side, or take a shorter nail."},
	"patella-above":   {"Nail ends above the kneecap", "The tip ends {distance} above the upper pole of the kneecap; there it touches the front cortex more often. Think of a longer nail."},
	"patella-close":   {"Tip and kneecap: too close to call", "The tip passes the upper pole of the kneecap by {distance}. Nails that end above it touch the front cortex more often."},
	"bow-refused":     {"Bow not compared", "{error}."},
	"bow-mismatch": {"Nail straighter than the bone",
		"The bow of the bone is {mismatch} higher than the nail’s, {limit} is the limit: the tip can press through the front cortex. Look from the side while it goes in, or take another bow."},
	"bow-close":     {"Bow of the nail: too close to call", "The bow of the bone is {mismatch} higher than that of the nail, {limit} is the limit. Look at the tip from the side while the nail goes in."},
	"bow-nail-more": {"Nail more bowed than the bone", "The bow of the nail is {mismatch} higher than that of the bone: the tip points backwards. Look from the side while it goes in."},
	"entry-back":    {"Entry in the back of the trochanter", "From an entry in the back third the tip runs to the front cortex. Look from the side while the nail goes in."},
	"stature-short": {"Short patient, front cortex", "At {stature} of height, under {limit}, the tip met the front cortex in half of the femora (one series of 150). Look from the side while the nail goes in."},

	"number-impossible": {"Number not possible", "The {field} is {value} {unit}; possible is {low} to {high} {unit}. Check what was typed, and its unit."},
	"tube-impossible":   {"Not the section of a nail", "Enter the outer and the inner diameter in millimetres, the outer the larger; 0 inside for a solid nail."},
}

var distalReasons = map[string]string{
	"holes-far":       "Every screw lies more than {limit} beyond the fracture.",
	"holes-near":      "Screws that may lie within {limit} of the fracture, and no other holes are left for them: {count}. Nails broke from fatigue there.",
	"holes-planes":    "Below the isthmus the screws go in different planes, for the nail is loose in the wide canal. Planes: {count}.",
	"holes-across":    "From side to side, where the canal holds the nail. Screws from the front come after that.",
	"static-default":  "Locked static: length and turn are held.",
	"static-unstable": "The pieces do not carry the length by themselves: only static locking holds it.",
	"dynamic-offered": "The pieces carry the length by themselves and the nail has a slot: locking in the slot alone is possible. The surgeon decides.",
	"dynamic-unknown": "Whether the pieces carry the length by themselves is not said: dynamic locking is not offered.",
	"later-yes":       "The nail can be made to slide later: take out the screw of hole {hole} and leave the one in the slot.",
	"later-no":        "Taking one screw out will not let the nail slide: round holes with a screw are {count}.",
	"later-no-slot":   "The nail has no slot: to let it slide, all screws of one end must come out, which lets it turn too.",
	"dynamise-callus": "An unstable fracture without callus is not made to slide: it shortens.",
	"distal-depth":    "Depth {depth} and {over} more, rounded up to stock: {size}. It stands {past} out of the far cortex, which must be caught.",
	"distal-turn":     "An overlong screw hides on a film from the front, for the bone tapers forwards: look with the leg turned 30° inwards.",
	"toggle":          "With {slack} of slack over {along} the nail can tilt by {angle} where no screw holds it.",
	"toggle-each":     "With {along} of nail in the lower piece it can tilt by {angle} for each millimetre that the canal there is wider than it. The canal widens downwards.",
	"screw-bending":   "In bending a screw of {first} carries {ratio} times what one of {second} does.",
	"stiffness":       "Second moments {first} and {second} mm⁴: the first nail is {ratio} times as stiff in bending. Slots and flutes make a nail softer.",
}

var distalProblems = map[string]words{
	"second-break":     {"Second break not measured", "Mark both ends of the second break on the film from the front, in their order. Until then no distance to the holes is given."},
	"holes-slots-only": {"No round hole to lock", "Only slots are left, in which the nail slides. Take a nail with round holes, or accept dynamic locking."},
	"locking-none":     {"No locking screw for these holes", "The nail takes screws of {diameter} and the shelf has none. Get them before you begin."},
	"locking-diameter-open": {"Diameter of the locking screw not known",
		"The shelf has locking screws of several diameters: say which one the nail takes."},
	"distal-hole-unknown": {"Hole not known", "Say for which hole the depth was read. The nail has {holes}, counted from the highest."},
	"distal-off-bone":     {"Sleeve on bone?", "Say whether the sleeve was on bone, or how far off. A sleeve off the bone reads too long."},
	"distal-none":         {"No locking screw long enough", "{need} of {diameter} are needed and the longest in stock below is {longest}: it would miss the far cortex. Get longer screws."},
	"distal-stands-out":   {"Screw stands out", "The shortest that catches the far cortex stands {past} out of it, {limit} is usual. It can rub at the knee: read the depth again, or get one in between."},
	"far-cortex-close":    {"Far cortex caught? Too close to call", "The screw stands {past} out of the far cortex. Read the depth again, or take the next longer."},
}
